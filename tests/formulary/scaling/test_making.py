"""How much is made: the target as typed, and what is made beyond it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.catalogue import Catalogue
from formulary.scaling.target import Excess, Target, parse_excess, parse_target
from tests.helpers.formulas import a_formula, a_line, active, amount, density, is_amount, scaled

CREAM = a_formula(active("A", "5 % w/w"), active("B", "2 g"), a_line("Base", "to 100 g"))


@pytest.mark.parametrize(
    ("typed", "count", "each"),
    [
        ("3 x 60 g", 3, "60 g"),
        ("3x60g", 3, "60 g"),
        ("180 g", 1, "180 g"),
        ("12", 1, "12 pieces"),
        (" 12 ", 1, "12 pieces"),
        ("12 pieces", 1, "12 pieces"),
        ("2 × 10 pieces", 2, "10 pieces"),
    ],
)
def test_a_target_as_people_type_it(typed: str, count: int, each: str) -> None:
    assert parse_target(typed) == Target(count, amount(each))


def test_a_target_with_the_houses_decimal_sign() -> None:
    assert parse_target("2 x 0,5 kg", ",") == Target(2, amount("0.5 kg"))


def test_a_target_is_said_as_it_is_written() -> None:
    assert Catalogue().text(Target(3, amount("60 g")).said()) == "3 x 60\N{NO-BREAK SPACE}g"


@pytest.mark.parametrize(
    ("typed", "excess"),
    [
        ("", Excess()),
        ("3 %", Excess(Fraction(3))),
        ("10 g", Excess(fixed=amount("10 g"))),
        ("3 % + 10 g", Excess(Fraction(3), amount("10 g"))),
        ("10 g + 3 %", Excess(Fraction(3), amount("10 g"))),
        ("2.5%", Excess(Fraction(5, 2))),
    ],
)
def test_an_excess_as_people_type_it(typed: str, excess: Excess) -> None:
    assert parse_excess(typed) == excess


@pytest.mark.parametrize(
    ("excess", "made"),
    [("3 %", "103 g"), ("10 g", "110 g"), ("3 % + 10 g", "113 g"), ("10 g + 3 %", "113 g")],
)
def test_an_excess_is_made_beyond_the_order(excess: str, made: str) -> None:
    plan = scaled(CREAM, "100 g", excess)
    assert is_amount(plan.to_make, made)
    assert is_amount(plan.total, made)


@pytest.mark.parametrize("excess", ["", "3 %", "10 g", "12.5 % + 1 g"])
def test_no_excess_changes_a_declared_strength(excess: str) -> None:
    plan = scaled(CREAM, "100 g", excess)
    assert [each.declared.number for each in plan.strengths] == [5, 2]
    assert [each.deviation for each in plan.strengths] == [0, 0]


def test_a_fixed_excess_by_volume_goes_through_the_preparations_density() -> None:
    content = a_formula(a_line("A", "5 % w/w"), a_line("B", "to 100 g"), density=density("0.8"))
    assert is_amount(scaled(content, "100 g", "10 mL").to_make, "108 g")


def test_a_fixed_excess_of_dose_units() -> None:
    powders = a_formula(a_line("A", "0.3 g"), a_line("B", "0.2 g"), units=1)
    plan = scaled(powders, "20", "1 piece")
    assert is_amount(plan.to_make, "10.5 g")


def test_a_fixed_excess_of_doses_of_a_formula_for_dose_units() -> None:
    powders = a_formula(a_line("A", "0.3 g per unit"), units=10)
    assert is_amount(scaled(powders, "20", "2 pieces").lines[0].required, "6.6 g")


def test_the_working_begins_with_the_order() -> None:
    said = [Catalogue().text(step) for step in scaled(CREAM, "3 x 60 g", "3 %").working]
    plain = [each.replace("\N{NO-BREAK SPACE}", " ") for each in said]
    assert plain == ["Ordered: 3 x 60 g = 180 g", "180 g with an excess of 3 % = 185.4 g"]


def test_a_single_container_is_not_said_twice() -> None:
    said = [Catalogue().text(step) for step in scaled(CREAM, "60 g").working]
    assert said == ["Ordered: 60\N{NO-BREAK SPACE}g"]
