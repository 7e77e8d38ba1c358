"""Doses, their checks, supplies and amounts for the skin, as a pharmacist expects them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.calculating.outcome import Number
from formulary.calculating.tables import table
from formulary.quantity.amount import Amount
from tests.formulary.calculations.asking import ask, findings, refused

SURFACE = "body-surface-area"


@pytest.mark.parametrize(
    ("formula", "low", "high"),
    [("Mosteller", "1.84", "1.85"), ("Haycock", "1.84", "1.86"), ("Du Bois", "1.84", "1.85")],
)
def test_the_formulas_agree_about_an_average_adult(formula: str, low: str, high: str) -> None:
    surface = ask(SURFACE, height="175 cm", weight="70 kg", formula=formula).value("body_surface")
    assert isinstance(surface, Number)
    assert surface.rounded
    assert Fraction(low) < surface.number < Fraction(high)


def test_a_height_in_the_wrong_unit_is_refused() -> None:
    assert refused(SURFACE, height="175 mm", weight="70 kg") == "body_surface.height_range"
    assert refused(SURFACE, height="175 cm", weight="70 g") == "body_surface.weight_range"


def test_a_daily_dose_is_shared_and_the_maximum_isnt_applied_silently() -> None:
    outcome = ask(
        "dose-by-body",
        dose="30 mg/kg",
        body_weight="20 kg",
        doses_per_day="3",
        dose_is="a day",
        maximum="150 mg",
    )
    assert outcome.value("dose") == Amount(Fraction(1, 5), "g")
    assert outcome.value("daily") == Amount(Fraction(3, 5), "g")
    assert "doses.over_maximum" in findings(outcome)


def test_a_dose_for_each_kg_needs_the_weight_and_for_each_m2_the_surface() -> None:
    assert refused("dose-by-body", dose="15 mg/kg") == "doses.needs_weight"
    assert refused("dose-by-body", dose="15 mg/m2", body_weight="20 kg") == "doses.needs_surface"
    assert refused("dose-by-body", dose="15 mg/mL", body_weight="20 kg") == "doses.per_what"


@pytest.mark.parametrize(("prescribed", "inside"), [("250 mg", True), ("0.4 g", False)])
def test_a_dose_is_judged_by_the_range_given(prescribed: str, *, inside: bool) -> None:
    limits = {"usual_least": "10 mg/kg", "usual_most": "15 mg/kg", "body_weight": "20 kg"}
    assert ask("dose-check", prescribed=prescribed, **limits).value("inside") is inside


def test_without_a_range_nothing_is_judged() -> None:
    outcome = ask("dose-check", prescribed="250 mg", body_weight="20 kg")
    assert "dose_checks.no_range" in findings(outcome)
    assert all(result.name != "inside" for result in outcome.results)


def test_half_a_tablet_and_part_of_a_drop_are_pointed_out() -> None:
    half = ask("volume-per-dose", strength="30 mg/piece", single_dose="45 mg")
    drops = ask("volume-per-dose", strength="2 mg/mL", single_dose="1 mg", dropper="25")
    assert "doses.part_of_unit" in findings(half)
    assert "doses.part_of_drop" in findings(drops)


def test_units_cant_be_drawn_from_milligrams() -> None:
    said = refused("volume-per-dose", strength="2 mg/mL", single_dose="10 units")
    assert said == "doses.not_comparable"


def test_a_quantity_holds_whole_doses_and_shows_the_rest() -> None:
    outcome = ask("number-of-doses", total="100 mL", dose="7.5 mL")
    assert outcome.value("doses") == Number(Fraction(13))
    assert outcome.value("left_over") == Amount(Fraction("2.5"), "mL")
    assert refused("number-of-doses", total="5 mL", dose="10 mL") == "supply.no_whole_dose"


def test_a_supply_lasts_the_days_that_it_was_made_for() -> None:
    course = {"dose": "250 mg", "doses_per_day": "3", "first_dose": "500 mg"}
    made = ask("supply-for-days", days="10", unit_holds="250 mg", **course)
    assert made.value("units") == Amount(Fraction(32), "piece")
    lasting = ask("supply-for-days", total="32 pieces", unit_holds="250 mg", **course)
    assert lasting.value("days") == Amount(Fraction(10), "day")


def test_an_old_rule_speaks_as_history_and_keeps_to_its_ages() -> None:
    rule = {"adult_dose": "300 mg", "rule": "Young"}
    outcome = ask("childs-dose-by-old-rules", age_years="6", **rule)
    assert outcome.value("dose") == Amount(Fraction(1, 10), "g")
    assert "childrens_rules.history" in findings(outcome)
    said = refused("childs-dose-by-old-rules", age_years="30", **rule)
    assert said == "childrens_rules.out_of_range"
    assert refused("childs-dose-by-old-rules", **rule) == "childrens_rules.needs"


def test_both_arms_and_hands_take_eight_fingertip_units() -> None:
    regions = "one arm; one arm; one hand; one hand"
    outcome = ask("fingertip-units", regions=regions, applications_per_day="2", days="7")
    assert outcome.value("units") == Number(Fraction(8))
    assert outcome.value("total") == Amount(Fraction(56), "g")
    assert refused("fingertip-units", regions="tail") == "topical_amounts.unknown_region"


def test_an_area_needs_the_mass_on_it() -> None:
    area = {"area": "600 cm2"}
    assert refused("topical-amount-by-area", **area) == "topical_amounts.spread_missing"
    outcome = ask("topical-amount-by-area", spread="0.5 g/300 cm2", **area)
    assert outcome.value("each") == Amount(Fraction(1), "g")


@pytest.mark.parametrize("name", ["fingertip-units", "tolerances"])
def test_every_row_of_a_table_names_its_source(name: str) -> None:
    for row in table(name):
        assert row["source"]
        assert row["edition"]
        assert isinstance(row["seen"], bool)
