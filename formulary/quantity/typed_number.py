"""Typed numbers, read exactly or refused with a sentence; nothing in doubt is guessed."""

from __future__ import annotations

import re
from fractions import Fraction

from formulary.errors import BadText
from formulary.messages import message

LONGEST = 40
SHOWN = 12
DECIMAL_SIGNS = (".", ",")

# Typists and our own writing part groups of three with any of these.
_SPACES = str.maketrans(dict.fromkeys("\u00a0\u2007\u2009\u202f", " "))
_MINUS = "-\N{MINUS SIGN}\N{EN DASH}"
# Naked decimals (.5) are read; it is writing that never leaves out the zero.
_DECIMAL = re.compile(
    r"(?P<whole>[0-9]+|[1-9][0-9]{0,2}(?: [0-9]{3})+)?(?:(?P<sign>[.,])(?P<decimals>[0-9]+))?"
)
_FRACTION = re.compile(r"[0-9]+/0*[1-9][0-9]*")
_REFUSED = tuple(
    (re.compile(pattern), f"quantity.number.{reason}")
    for pattern, reason in (
        (r"^$", "empty"),
        (r"(?![0-9])\d", "foreign_digits"),
        (rf"^[{_MINUS}]", "negative"),
        (r"^[0-9.,]+ ?[eE][-+]?[0-9]", "exponent"),
        (r",.*\.|\..*,", "both_signs"),
        (r"([.,]).*\1", "sign_twice"),
        (r"[.,]$", "ends_with_sign"),
        (r"^0[0-9 ]", "leading_zero"),
    )
)


def parse_number(text: str, decimal_sign: str) -> Fraction:
    """Return a typed number exactly; ``decimal_sign`` is the one the house writes.

    The other sign is read too, except before exactly three digits after a non-zero whole part,
    where it could part thousands. Simple fractions (1/2) are read. Raises
    :class:`formulary.errors.BadText` for anything else.
    """
    require_sign(decimal_sign)
    typed = tidy(text)
    for pattern, reason in _REFUSED:
        if pattern.search(typed):
            raise BadText(message(reason, typed=typed))
    if _FRACTION.fullmatch(typed):
        return Fraction(typed)
    return _decimal(typed, decimal_sign)


def _decimal(typed: str, decimal_sign: str) -> Fraction:
    found = _DECIMAL.fullmatch(typed)
    if found is None:
        reason = "grouping" if " " in typed else "unreadable"
        raise BadText(message(f"quantity.number.{reason}", typed=typed))
    whole = int((found["whole"] or "0").replace(" ", ""))
    decimals = found["decimals"] or ""
    number = Fraction(int(f"{whole}{decimals}"), 10 ** len(decimals))
    if whole and len(decimals) == len("000") and found["sign"] != decimal_sign:
        thousands = number * 1000
        raise BadText(message("quantity.number.two_ways", typed=typed, one=number, other=thousands))
    return number


def tidy(text: str) -> str:
    """Return a typed text with plain spaces and no outer ones; an overlong text is refused."""
    if len(text) > LONGEST:
        raise BadText(message("quantity.number.too_long", typed=f"{text[:SHOWN]}…", most=LONGEST))
    return plain_spaces(text)


def plain_spaces(text: str) -> str:
    """Return a text with plain spaces in place of no-break and thin ones, and no outer ones."""
    return text.translate(_SPACES).strip()


def require_sign(decimal_sign: str) -> None:
    """Raise ValueError unless the decimal sign is a point or a comma."""
    if decimal_sign not in DECIMAL_SIGNS:
        raise ValueError(f"a decimal sign is a point or a comma, not {decimal_sign!r}")
