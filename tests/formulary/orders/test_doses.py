"""A day's dose by the directions is held against the house's own entries, never against a guess."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.errors import BadText
from formulary.formula.content import Content, Form, Role, Route
from formulary.ingredient import DoseLimit
from formulary.orders.dose_text import dose_limit_text, parse_dose_limit
from formulary.orders.doses import daily, in_a_day
from formulary.orders.plausibility import Item
from formulary.orders.prepared import prepare
from formulary.patient import PatientDetails
from formulary.quantity.amount import Amount
from formulary.wording.directions import DayPart, Dosing, Often, Use
from tests.formulary.orders.cases import an_order, text
from tests.helpers.formulas import a_formula, a_line, active, amount

MADE_ON = date(2026, 3, 2)
SYRUP: Content = replace(
    a_formula(active("Thiamine", "2 mg/mL"), a_line("Syrup", "to 100 mL", Role.VEHICLE)),
    form=Form.SYRUP,
    route=Route.ORAL,
)
THREE_TIMES = Dosing(Use.TAKE, amount("5 mL"), place="by_mouth", number=3)
CHILD = PatientDetails(born=date(2020, 3, 1), weight=amount("20 kg"))


def doubts(*limits: DoseLimit, details: PatientDetails = CHILD, **more: Any) -> list[str]:  # noqa: ANN401
    """Return the keys of the doubts about the dose of 30 mg in a day; each can be said."""
    order = an_order(dosing=more.get("dosing", THREE_TIMES))
    known = {"Thiamine": limits} if limits else {}
    found = prepare(order, SYRUP, MADE_ON, details, limits=known)
    dose = next(each for each in found if each.item is Item.DOSE)
    assert all(text(said) for said in (*dose.facts, *dose.doubts))
    return [said.key.removeprefix("orders.doubt.") for said in dose.doubts]


def a_limit(typed: str) -> DoseLimit:
    return parse_dose_limit(typed, ".")


def test_three_doses_of_ten_milligrams_are_thirty_in_a_day() -> None:
    assert daily(SYRUP, THREE_TIMES) == {"Thiamine": amount("30 mg")}
    order = an_order(dosing=THREE_TIMES)
    facts = [text(said) for said in prepare(order, SYRUP, MADE_ON, CHILD)[0].facts]
    assert "Thiamine: at most 30\u00a0mg in a day by the directions" in facts


@pytest.mark.parametrize(
    ("often", "number", "at", "times"),
    [
        (Often.TIMES_A_DAY, 3, (), Fraction(3)),
        (Often.EVERY_HOURS, 6, (), Fraction(4)),
        (Often.EVERY_DAYS, 2, (), Fraction(1, 2)),
        (Often.TIMES_A_WEEK, 7, (), Fraction(1)),
        (Often.NEEDED, 4, (), Fraction(4)),
        (Often.ONCE, None, (), Fraction(1)),
        (Often.AT, None, (DayPart.MORNING, DayPart.EVENING), Fraction(2)),
    ],
)
def test_a_day_has_so_many_doses(
    often: Often, number: int | None, at: tuple[DayPart, ...], times: Fraction
) -> None:
    dosing = Dosing(Use.TAKE, amount("5 mL"), "", "by_mouth", often, number, at)
    assert in_a_day(dosing) == times


def test_without_an_entry_of_the_house_it_is_said_that_nothing_was_checked() -> None:
    assert doubts() == ["no_dose_on_file"]
    assert doubts(a_limit("50 mg; from 12 years; invented")) == ["no_dose_on_file"]


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("30 mg; any age; invented", []),
        ("29 mg; any age; invented", ["dose_over"]),
        ("3 mg; any age; invented", ["dose_tenfold"]),
        ("30 micrograms; 2 to 11 years; invented", ["dose_thousandfold"]),
        ("1.5 mg/kg; 2 to 11 years; invented", []),
        ("1 mg/kg; 2 to 11 years; invented", ["dose_over"]),
        ("100 units; any age; invented", ["other_unit"]),
    ],
)
def test_a_dose_is_held_against_the_entry_for_its_age(typed: str, found: list[str]) -> None:
    assert doubts(a_limit(typed)) == found


def test_a_limit_by_weight_needs_the_weight_and_one_for_an_age_the_age() -> None:
    by_weight = a_limit("1 mg/kg; any age; invented")
    assert doubts(by_weight, details=PatientDetails(born=CHILD.born)) == ["no_weight"]
    for_age = a_limit("50 mg; 2 to 11 years; invented")
    nobody_knows = PatientDetails(weight=amount("20 kg"))
    assert "no_dose_on_file" in doubts(for_age, details=nobody_knows)


@pytest.mark.parametrize(
    "typed",
    [
        "40 mg",
        "40 mg; any age",
        "40 mg; any age; ",
        "40; any age; x",
        "40 mg; 9 to 2 years; x",
    ],
)
def test_what_is_no_limit_is_refused(typed: str) -> None:
    with pytest.raises(BadText):
        parse_dose_limit(typed, ".")


@given(
    st.integers(1, 100_000),
    st.sampled_from(["/kg", ""]),
    st.none() | st.integers(0, 17),
    st.none() | st.integers(18, 99),
)
def test_what_is_entered_is_read_as_it_was_written(
    hundredths: int, per: str, least: int | None, most: int | None
) -> None:
    least = least if most is None else least or 0
    highest = Amount(Fraction(hundredths, 100), "mg")
    limit = DoseLimit(highest, per == "/kg", least, most, "House reference; page 3")
    assert parse_dose_limit(dose_limit_text(limit, "."), ".") == limit
