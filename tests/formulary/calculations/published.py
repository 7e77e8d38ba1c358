"""Published worked cases run through the calculations, their inputs typed as a person would."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from formulary.calculating.outcome import Number, Value
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.catalogue import Catalogue
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.quantity.money import Money
from tests.helpers.arithmetic import assert_true

FOLDER = Path(__file__).parents[2] / "check_values" / "calculations"
CLOSE = Fraction(1, 10**6)
CLOSE_WITH_FORMULAS = Fraction(1, 10**4)
"""Atomic weights differ between editions in the fifth digit (the README of the cases says so)."""
UNITS = {"capsules": "piece", "drops": "drop", "drops/mL": "drop/mL", "% m/m": "% w/w"}
"""How the cases write units that the program writes otherwise."""


@dataclass(frozen=True)
class Run:
    """One calculation with typed inputs; ``results`` names its result for each expected value."""

    calculation: str
    inputs: Mapping[str, str]
    results: Mapping[str, str]


def published(name: str) -> list[dict[str, Any]]:
    """Return the cases of a file, their figures exact."""
    text = (FOLDER / f"{name}.toml").read_text(encoding="utf-8")
    found: list[dict[str, Any]] = tomllib.loads(text, parse_float=Fraction)["case"]
    return found


def expect(case: Mapping[str, Any], *runs: Run, close: Fraction = CLOSE) -> None:
    """Assert that the runs give every expected value of a case: as printed, and exactly."""
    assert case["source"].strip()
    found: dict[str, Value] = {}
    for run in runs:
        outcome = calculate(calculation_named(run.calculation), run.inputs)
        assert outcome.steps
        assert_true(map(Catalogue().text, outcome.steps))
        found |= {name: outcome.value(result) for name, result in run.results.items()}
    assert found.keys() == case["expected"].keys()
    for name, expected in case["expected"].items():
        _expect_value(found[name], expected, close)


def _expect_value(value: Value, expected: Mapping[str, Any], close: Fraction) -> None:
    if isinstance(value, bool):
        assert value is expected["value"]
        return
    number = _in_unit(value, UNITS.get(expected["unit"], expected["unit"]))
    assert abs(number - Fraction(expected["value"])) <= Fraction(expected["tolerance"])
    exact = Fraction(expected["exact"])
    assert abs(number - exact) <= close * abs(exact)


def _in_unit(value: Value, unit: str) -> Fraction:
    if isinstance(value, Amount):
        return value.to(unit).number
    if isinstance(value, OneIn):
        assert unit == "parts"
        return value.total
    if isinstance(value, Concentration) and value.unit != unit:
        return _converted(value, unit)
    if isinstance(value, Money):
        assert value.unit == unit
        return value.number
    assert isinstance(value, Concentration | Number)
    if isinstance(value, Number) and (value.unit, unit) == ("g/mL", "kg/m3"):
        return value.number * 1000
    return value.number


def _converted(value: Concentration, unit: str) -> Fraction:
    if not unit:
        assert value.unit == "g/mL"
        return value.number
    (part, whole), (wanted, per) = map(units.split_concentration, (value.unit, unit))
    return value.number * units.factor(part, wanted) / units.factor(whole, per)
