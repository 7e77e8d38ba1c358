"""A plan as JSON: decimals are strings, and what is rounded says so."""

from __future__ import annotations

import json
from fractions import Fraction
from typing import Any

from formulary.catalogue import Catalogue
from formulary.scaling.plan_json import plan_json
from tests.helpers.formulas import a_formula, a_house, a_line, active, scaled

CREAM = a_formula(active("A", "1 in 3 w/w"), a_line("B", "to 100 g"))


def as_json(target: str, excess: str = "", *, house: bool = True) -> dict[str, Any]:
    """Return a plan as another program reads it."""
    plan = scaled(CREAM, target, excess, house=a_house() if house else None)
    found: dict[str, Any] = json.loads(json.dumps(plan_json(plan, Catalogue())))
    return found


def numbers_in(value: object) -> list[object]:
    """Return all numbers that aren't strings, at any depth."""
    if isinstance(value, dict):
        return [each for inner in value.values() for each in numbers_in(inner)]
    if isinstance(value, list):
        return [each for inner in value for each in numbers_in(inner)]
    return [value] if isinstance(value, int | float) and not isinstance(value, bool) else []


def test_no_quantity_is_a_number_of_json() -> None:
    assert numbers_in(as_json("3 x 20 g", "3 %")) == [3]  # the count of containers


def test_what_the_command_promises_is_there() -> None:
    found = as_json("3 x 20 g")
    assert {"target", "lines", "total", "strengths", "findings"} <= set(found)
    promised = {"ingredient", "as_written", "required", "to_measure", "with", "working", "findings"}
    assert all(promised <= set(line) for line in found["lines"])
    assert found["target"] == {
        "amount": "60",
        "unit": "g",
        "count": 3,
        "each": {"amount": "20", "unit": "g"},
    }
    assert found["lines"][0]["as_written"] == "1 in 3 w/w"
    assert found["lines"][0]["with"] == "Middle balance"
    assert all(isinstance(step, str) for line in found["lines"] for step in line["working"])


def test_a_decimal_in_full_is_not_said_to_be_rounded() -> None:
    assert as_json("3 x 20 g")["lines"][0]["required"] == {"amount": "20", "unit": "g"}


def test_what_no_decimal_says_in_full_carries_the_exact_fraction() -> None:
    required = as_json("10 g")["lines"][0]["required"]
    assert required["rounded"] is True
    assert Fraction(required["exact"]) == Fraction(10, 3)
    assert required["amount"].startswith("3.3333333333")


def test_a_deviation_that_is_rounded_says_so() -> None:
    # 10 g / 3 are read as 3.333 g, the rest of 6.667 g as 6.67 g: 3.333 g in 10.003 g.
    strength = as_json("10 g")["strengths"][0]
    assert strength["deviation_percent_rounded"] is True
    true = Fraction("3.333") / Fraction("10.003") * 3
    assert Fraction(strength["deviation_percent_exact"]) == (true - 1) * 100


def test_the_excess_is_told() -> None:
    excess = as_json("60 g", "3 % + 10 g")["excess"]
    assert excess == {"percent": "3", "fixed": {"amount": "10", "unit": "g"}}
    assert as_json("60 g")["excess"] == {"percent": "0", "fixed": None}
