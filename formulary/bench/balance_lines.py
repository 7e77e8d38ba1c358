"""What a balance sends as a line of text, read exactly or refused with a sentence.

A house sets the pattern of a balance as a regular expression with named groups: ``number`` and
``unit`` must be there, and the whole line has to fit, blanks around it left out. A line in which
``unstable`` matches hasn't settled, nor has one without ``stable`` where the pattern has that
group. Without a pattern :data:`USUAL` is used.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from formulary.errors import BadText, Refusal
from formulary.messages import message
from formulary.quantity.amount import Amount

LONGEST_LINE, LONGEST_PATTERN = 80, 200

USUAL = (
    r"(?=(?P<unstable>S D\b|US\b|.*[?~*]$)?)"
    r"(?:S [SD]\s+|(?:ST|US),\s*(?:(?:GS|NT),\s*)?|N(?:et|ET|T)?\b[:,]?\s*)?"
    r"(?P<number>[-+]?\s*\d+(?:[.,]\d*(?:\[\d\])?)?)\s*(?P<unit>[^\W\d_]+|%)?\s*[?~*]?"
)
"""A label of settled or net where there is one, the figure, its unit, a mark of what moves.

A line of a print-out labelled gross or tare isn't read, since it is no net weight; GS behind ST
stands where nothing is tared. The last digit of a verified balance may be in brackets. These ways
of writing are common to many balances (from memory).
"""

_MASSES = {"g": "g", "mg": "mg", "kg": "kg"} | dict.fromkeys(
    ("\N{MICRO SIGN}g", "\N{GREEK SMALL LETTER MU}g", "ug"), "microgram"
)
_OUT_OF_RANGE = re.compile(
    r"\s*(?:S [-+]|.*\b(?:OL|UL)\b.*|[-+]?\s*(?:[-\^_=]{3,}|HIGH|LOW|H|L))\s*", re.IGNORECASE
)
_NUMBER = re.compile(r"[-+]?[0-9]+(?:\.[0-9]*)?")
_REPEATED_GROUP = re.compile(r"(?<!\\)\)[*+{]")
# What some balances put around each line.
_FRAME = "\0\2\3\r\n"


@dataclass(frozen=True, slots=True)
class ReadLine:
    """What a balance showed: an exact ``amount``, below zero too, and whether it had ``settled``.

    ``shown`` is the figure with the digits and the decimal sign of the balance, and its unit;
    ``raw`` the whole line.
    """

    amount: Amount
    stable: bool
    shown: str
    raw: str


@lru_cache(maxsize=64)
def line_pattern(typed: str) -> re.Pattern[str]:
    """Return a house's pattern for the lines of a balance; the usual one where nothing is typed.

    Raises :class:`formulary.errors.BadText` for one that is no regular expression, lacks a group,
    or repeats one: a repeated group could keep the program busy for hours on a single line.
    """
    if len(typed) > LONGEST_PATTERN:
        raise _bad("too_long", most=LONGEST_PATTERN)
    if _REPEATED_GROUP.search(typed):
        raise _bad("repeated_group", typed=typed)
    try:
        pattern = re.compile(typed.strip() or USUAL)
    except (re.error, RecursionError, OverflowError) as trouble:
        raise _bad("unreadable", typed=typed) from trouble
    for group in ("number", "unit"):
        if group not in pattern.groupindex:
            raise _bad("no_group", typed=typed, group=group)
    return pattern


def read_line(line: bytes, balance: str, pattern: str = "") -> ReadLine:
    """Return what the ``balance`` of that name says in a line.

    Raises :class:`formulary.errors.Refusal` for an overloaded or empty pan, a unit that is no mass,
    a missing unit, and anything else that is no weight.
    """
    raw = line.decode("latin-1").strip(_FRAME)
    if len(raw) > LONGEST_LINE or not raw.replace("\t", " ").isprintable():
        raise gibberish(balance, line)
    if _OUT_OF_RANGE.fullmatch(raw):
        raise Refusal(message("balance.line.out_of_range", balance=balance, raw=raw.strip()))
    found = line_pattern(pattern).fullmatch(raw.strip())
    if found is None:
        raise gibberish(balance, line)
    number = re.sub(r"[\s\[\]]", "", found["number"] or "").replace(",", ".")
    if not _NUMBER.fullmatch(number):
        raise gibberish(balance, line)
    unit = _mass(found["unit"] or "", balance, raw)
    shown = f"{''.join(found['number'].split())} {found['unit'].strip()}"
    return ReadLine(Amount(Fraction(number), unit), _settled(found), shown, raw)


def gibberish(balance: str, line: bytes) -> Refusal:
    """Return the refusal of a line that is no weight."""
    return Refusal(message("balance.line.gibberish", balance=balance, raw=_printable(line)))


def broken_off(balance: str, line: bytes) -> Refusal:
    """Return the refusal of a line whose end or beginning never came."""
    return Refusal(message("balance.line.broken_off", balance=balance, raw=_printable(line)))


def _printable(line: bytes) -> str:
    sent = line[:LONGEST_LINE].decode("ascii", "backslashreplace").strip(_FRAME)
    return "".join(each if each.isprintable() else f"\\x{ord(each):02x}" for each in sent)


def _settled(found: re.Match[str]) -> bool:
    groups = found.groupdict()
    return groups.get("unstable") is None and groups.get("stable", "") is not None


def _mass(unit: str, balance: str, raw: str) -> str:
    if not unit:
        raise Refusal(message("balance.line.no_unit", balance=balance, raw=raw.strip()))
    if unit.strip() not in _MASSES:
        raise Refusal(message("balance.line.other_unit", balance=balance, unit=unit.strip()))
    return _MASSES[unit.strip()]


def _bad(key: str, **parameters: str | int) -> BadText:
    return BadText(message(f"balance.pattern.{key}", **parameters), field="pattern")
