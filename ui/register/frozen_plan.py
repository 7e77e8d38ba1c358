"""The plan that a preparation was started with, read back from its canonical text."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from formulary.catalogue import Catalogue
from formulary.errors import FormularyError
from formulary.formula.kind_text import parse_kind, said
from formulary.house import House
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.rounding import round_to_significant
from formulary.quantity.writing import convenient, exact_text, from_exact_text
from ui.forms.limits import limits_said, readability

Plain = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class FrozenLine:
    """One ingredient as it was planned, in texts. ``tolerance`` is the band allowed."""

    ingredient: str
    as_written: str
    required: str
    to_measure: str
    instrument: str
    tolerance: str
    working: tuple[str, ...]
    findings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FrozenStrength:
    """What an active's strength was declared to be and came to."""

    ingredient: str
    declared: str
    actual: str


@dataclass(frozen=True, slots=True)
class FrozenPlan:
    """The plan in texts with the decimal sign of today's house; figures stay as they were."""

    to_make: str
    total: str
    lines: tuple[FrozenLine, ...]
    strengths: tuple[FrozenStrength, ...]
    working: tuple[str, ...]
    findings: tuple[str, ...]


def read_plan(text: str, catalogue: Catalogue, house: House) -> FrozenPlan | None:
    """Return the plan, None where the record holds none that can be read.

    The house lends its instruments' readability, to say the limits as they can be read.
    """
    try:
        return _plan(json.loads(text), catalogue, house)
    except (KeyError, TypeError, ValueError, FormularyError):
        return None


def _plan(plain: Plain, catalogue: Catalogue, house: House) -> FrozenPlan:
    return FrozenPlan(
        to_make=_written(plain["to_make"], catalogue),
        total=_written(plain["total"], catalogue),
        lines=tuple(_line(each, catalogue, house) for each in plain["lines"]),
        strengths=tuple(
            FrozenStrength(
                str(each["ingredient"]),
                _written(each["declared"], catalogue),
                _written(_to_four_digits(each["actual"]), catalogue),
            )
            for each in plain["strengths"]
        ),
        working=_texts(plain["working"]),
        findings=_sentences(plain["findings"]),
    )


def _line(plain: Plain, catalogue: Catalogue, house: House) -> FrozenLine:
    return FrozenLine(
        ingredient=str(plain["ingredient"]),
        as_written=_as_written(str(plain["as_written"]), catalogue),
        required=_written(plain["required"], catalogue),
        to_measure=_written(plain["to_measure"], catalogue),
        instrument=str(plain["with"]),
        tolerance=_tolerance(plain, catalogue, house),
        working=_texts(plain["working"]),
        findings=_sentences(plain["findings"]),
    )


def _tolerance(plain: Plain, catalogue: Catalogue, house: House) -> str:
    band = plain["tolerance"]
    if not band:
        return ""
    low, high = _amount(band["low"]), _amount(band["high"])
    figure = _amount(plain["to_measure"]) if plain["to_measure"] else low
    step = readability(house, str(plain["with"]))
    return limits_said(low, high, figure, step, catalogue)


def _as_written(text: str, catalogue: Catalogue) -> str:
    """Return a line's quantity with today's sign, or as it stands where it reads otherwise."""
    try:
        return catalogue.text(said(parse_kind(text)))
    except FormularyError:
        return text


def _written(plain: Plain | None, catalogue: Catalogue) -> str:
    if plain is None:
        return ""
    unit = str(plain["unit"])
    if unit in units.SYMBOLS:
        return catalogue.written(convenient(_amount(plain)))
    return catalogue.written(Concentration(_number(plain), unit))


def _amount(plain: Plain) -> Amount:
    return Amount(_number(plain), str(plain["unit"]))


def _number(plain: Plain) -> Fraction:
    return from_exact_text(str(plain.get("exact", plain["amount"])))


def _to_four_digits(plain: Plain) -> Plain:
    """Return a true strength as it is read: four significant digits."""
    return {"amount": exact_text(round_to_significant(_number(plain))), "unit": plain["unit"]}


def _texts(plain: list[object]) -> tuple[str, ...]:
    return tuple(map(str, plain))


def _sentences(plain: list[Plain]) -> tuple[str, ...]:
    return tuple(str(each["sentence"]) for each in plain)
