"""The plan that a preparation was started with, read back from its canonical text."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from formulary.catalogue import Catalogue
from formulary.errors import FormularyError
from formulary.formula.kind_text import parse_kind, said
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.rounding import round_to_significant
from formulary.quantity.writing import convenient, exact_text, from_exact_text

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


def read_plan(text: str, catalogue: Catalogue) -> FrozenPlan | None:
    """Return the plan, None where the record holds none that can be read."""
    try:
        return _plan(json.loads(text), catalogue)
    except (KeyError, TypeError, ValueError, FormularyError):
        return None


def _plan(plain: Plain, catalogue: Catalogue) -> FrozenPlan:
    return FrozenPlan(
        to_make=_written(plain["to_make"], catalogue),
        total=_written(plain["total"], catalogue),
        lines=tuple(_line(each, catalogue) for each in plain["lines"]),
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


def _line(plain: Plain, catalogue: Catalogue) -> FrozenLine:
    band = plain["tolerance"]
    low_to_high = (
        (_written(band["low"], catalogue), _written(band["high"], catalogue)) if band else ()
    )
    return FrozenLine(
        ingredient=str(plain["ingredient"]),
        as_written=_as_written(str(plain["as_written"]), catalogue),
        required=_written(plain["required"], catalogue),
        to_measure=_written(plain["to_measure"], catalogue),
        instrument=str(plain["with"]),
        tolerance=" – ".join(low_to_high),
        working=_texts(plain["working"]),
        findings=_sentences(plain["findings"]),
    )


def _as_written(text: str, catalogue: Catalogue) -> str:
    """Return a line's quantity with today's sign, or as it stands where it reads otherwise."""
    try:
        return catalogue.text(said(parse_kind(text)))
    except FormularyError:
        return text


def _written(plain: Plain | None, catalogue: Catalogue) -> str:
    if plain is None:
        return ""
    number = from_exact_text(str(plain.get("exact", plain["amount"])))
    unit = str(plain["unit"])
    if unit in units.SYMBOLS:
        return catalogue.written(convenient(Amount(number, unit)))
    return catalogue.written(Concentration(number, unit))


def _to_four_digits(plain: Plain) -> Plain:
    """Return a true strength as it is read: four significant digits."""
    number = from_exact_text(str(plain.get("exact", plain["amount"])))
    return {"amount": exact_text(round_to_significant(number)), "unit": plain["unit"]}


def _texts(plain: list[object]) -> tuple[str, ...]:
    return tuple(map(str, plain))


def _sentences(plain: list[Plain]) -> tuple[str, ...]:
    return tuple(str(each["sentence"]) for each in plain)
