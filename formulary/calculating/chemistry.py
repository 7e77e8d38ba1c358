"""Molar masses from chemical formulas, with IUPAC's abridged standard atomic weights."""

from __future__ import annotations

import re
from collections import Counter
from fractions import Fraction
from functools import cache
from typing import TypeAlias

from formulary.calculating.tables import table
from formulary.errors import BadText
from formulary.messages import message

_COUNT = "[1-9][0-9]{0,3}"
_TOKEN = re.compile(
    rf"(?P<element>[A-Z][a-z]?)(?P<atoms>{_COUNT})?|(?P<open>[(\[])|[)\]](?P<groups>{_COUNT})?"
)
_PART = re.compile(rf"(?P<times>{_COUNT}(?:/{_COUNT})?)?(?P<rest>[A-Z(\[].*)")
LONGEST = 80

Atoms: TypeAlias = Counter[str]


@cache
def atomic_weights() -> dict[str, Fraction]:
    """Return the weight of each element by its symbol."""
    return {row["symbol"]: Fraction(row["weight"]) for row in table("atomic-weights")}


def molar_mass(formula: str) -> Fraction:
    """Return the molar mass in g/mol of a formula: ``C6H8O7.H2O``, ``Ca(OH)2``, ``X.1/2H2O``.

    Raises :class:`formulary.errors.BadText` for what is no formula or holds an unknown element.
    """
    return sum(
        (
            times * sum(_weight(symbol, formula) * count for symbol, count in atoms.items())
            for times, atoms in parts(formula)
        ),
        Fraction(0),
    )


def parts(formula: str) -> list[tuple[Fraction, Atoms]]:
    """Return what stands between the dots of a formula: how many times, and its atoms.

    Raises :class:`formulary.errors.BadText` for what is no formula.
    """
    plain = "".join(formula.split()).replace("·", ".").replace("*", ".")
    if not plain or len(plain) > LONGEST:
        raise _no_formula(formula)
    return [_part(part, formula) for part in plain.split(".")]


def _part(part: str, formula: str) -> tuple[Fraction, Atoms]:
    """Return the number before a part, and the atoms of the rest."""
    found = _PART.fullmatch(part)
    if found is None:
        raise _no_formula(formula)
    return Fraction(found["times"] or 1), _group(found["rest"], formula)


def _group(text: str, formula: str) -> Atoms:
    """Return the atoms of a part without its number; brackets may nest."""
    stack: list[Atoms] = [Counter()]
    position = 0
    while position < len(text):
        token = _TOKEN.match(text, position)
        if token is None:
            raise _no_formula(formula)
        position = token.end()
        _take(token, stack, formula)
    if len(stack) > 1:
        raise _no_formula(formula)
    return stack[0]


def _take(token: re.Match[str], stack: list[Atoms], formula: str) -> None:
    """Add an element to the innermost bracket, or open or close one."""
    if token["element"]:
        stack[-1][token["element"]] += int(token["atoms"] or 1)
    elif token["open"]:
        stack.append(Counter())
    else:
        group = stack.pop()
        if not stack or not group:
            raise _no_formula(formula)
        for symbol, count in group.items():
            stack[-1][symbol] += count * int(token["groups"] or 1)


def _weight(symbol: str, formula: str) -> Fraction:
    try:
        return atomic_weights()[symbol]
    except KeyError:
        said = message("calculating.unknown_element", symbol=symbol, typed=formula)
        raise BadText(said) from None


def _no_formula(formula: str) -> BadText:
    return BadText(message("calculating.no_chemical_formula", typed=formula[:LONGEST]))
