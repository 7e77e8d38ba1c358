"""Sums of mixing and weighing as a pharmacist would check them by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.calculating.outcome import Number, Outcome
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.calculations.least_weighable import standard_deviation
from formulary.calculations.stock_solution import aliquot_plan
from formulary.calculations.trituration import trituration_plan
from formulary.house import Balance, Measure
from formulary.quantity.amount import Amount, Concentration
from tests.helpers.formulas import amount


def work(name: str, **typed: str) -> Outcome:
    return calculate(calculation_named(name), typed)


def is_amount(outcome: Outcome, name: str, wanted: str) -> bool:
    value, expected = outcome.value(name), amount(wanted)
    assert isinstance(value, Amount)
    return value.to(expected.unit) == expected


def keys(outcome: Outcome) -> list[str]:
    return [finding.said.key for finding in outcome.findings]


def test_forty_capsules_of_3_mg_from_10_mg_tablets() -> None:
    found = work(
        "tablets-as-source",
        dose="3 mg",
        units="40",
        spare="5",
        strength="10 mg",
        mean_mass="120 mg",
    )
    assert found.value("crush") == Number(Fraction(13), "units")
    assert is_amount(found, "powder", "1.512 g")
    assert is_amount(found, "excipients", "1.386 g")
    assert is_amount(found, "left", "48 mg")


def test_powder_lost_in_crushing_changes_what_is_weighed_and_is_said() -> None:
    found = work(
        "tablets-as-source", active="126 mg", strength="10 mg", mean_mass="120 mg", crushed="1.3 g"
    )
    assert is_amount(found, "powder", "1.26 g")
    assert "tablets_source.loss" in keys(found)


def test_a_filler_completes_what_the_powder_does_not_fill() -> None:
    found = work(
        "tablets-as-source",
        dose="3 mg",
        units="40",
        strength="10 mg",
        masses="118 mg; 122 mg",
        fill="200 mg",
        powder_density="0.6 g/mL",
    )
    assert is_amount(found, "mean_mass", "120 mg")
    assert is_amount(found, "filler", "6.56 g")
    assert is_amount(found, "displaced", "2.4 mL")


@pytest.mark.parametrize(("readability", "least"), [("0.01 g", "1 g"), ("0.001 g", "0.1 g")])
def test_one_per_cent_takes_a_hundred_steps_of_readability(readability: str, least: str) -> None:
    assert is_amount(
        work("minimum-weight-by-readability", readability=readability), "minimum_weight", least
    )


def test_the_makers_minimum_stands_where_it_is_higher() -> None:
    found = work("minimum-weight-by-readability", readability="0.01 g", minimum="2 g", weight="1 g")
    assert is_amount(found, "minimum_weight", "2 g")
    assert found.value("weighable") is False


def test_without_weighings_820_steps_are_only_a_starting_point() -> None:
    found = work("minimum-weight-by-repeatability", readability="0.1 mg")
    assert is_amount(found, "minimum_weight", "82 mg")
    assert keys(found) == ["least_weighable.starting_point", "calculating.taken"]


def test_the_standard_deviation_is_that_of_a_sample() -> None:
    readings = [amount(f"{number} mg") for number in (2, 4, 4, 4, 5, 5, 7, 9)]
    assert round(standard_deviation(readings).to("mg").number ** 2, 13) == round(
        Fraction(32, 7), 13
    )


def test_a_sensitivity_is_found_for_a_weight() -> None:
    found = work("least-weighable-quantity", weights="120 mg", permitted_error="5")
    assert is_amount(found, "sensitivity", "6 mg")


def test_to_50_g_and_with_50_g_of_base_are_two_things() -> None:
    to_weight = work("percentage-formula", percents="5", target="50 g")
    added = work("dissolving", active="2.5 g", solvent="50 g")
    assert is_amount(to_weight, "rest", "47.5 g")
    strength = added.value("strength")
    assert isinstance(strength, Concentration)
    assert round(strength.number, 2) == Fraction("4.76")


def test_made_up_to_volume_nothing_is_subtracted() -> None:
    found = work(
        "reducing-and-enlarging",
        amounts="100 mL; 10 g",
        made="1 L",
        target="240 mL",
        rest="to volume",
    )
    assert "rest" not in [each.name for each in found.results]
    assert keys(found) == ["enlarging.make_up"]


def test_an_excess_enlarges_every_amount_alike() -> None:
    found = work(
        "reducing-and-enlarging", amounts="5 g; 2 mL", made="100 g", target="50 g", excess="10"
    )
    assert is_amount(found, "amount_1", "2.75 g")
    assert is_amount(found, "amount_2", "1.1 mL")


def test_ethanol_is_made_up_and_no_diluent_is_told() -> None:
    found = work("dilution", stock_strength="95 % v/v", target_strength="70 % v/v", target="100 mL")
    assert "diluent" not in [each.name for each in found.results]
    assert keys(found) == ["dilution.contraction"]


def test_a_stock_is_found_that_gives_a_ratio_when_diluted() -> None:
    found = work("dilution", target_strength="1:5000 w/v", stock="5 mL", target="1 L")
    assert found.value("stock_strength") == Concentration(Fraction(4), "% w/v")


def test_the_last_step_of_a_series_takes_what_is_left() -> None:
    found = work(
        "serial-dilution",
        stock_strength="1 % w/v",
        target_strength="0.004 % w/v",
        factor="10",
        volume="10 mL",
    )
    assert found.value("steps") == Number(Fraction(3))
    assert found.value("last_factor") == Number(Fraction("2.5"))
    assert is_amount(found, "last_transfer", "4 mL")
    assert found.value("strength_2") == Concentration(Fraction("0.01"), "% w/v")


def test_pure_drug_fortifies_a_mass() -> None:
    found = work("adding-to-reach-a-strength", amounts="95 g", strengths="0", target_strength="5")
    assert is_amount(found, "additive", "5 g")
    assert is_amount(found, "total", "100 g")


def test_pure_drug_goes_into_a_volume_that_is_made_up() -> None:
    found = work(
        "adding-to-reach-a-strength",
        amounts="100 mL",
        strengths="0.45 % w/v",
        target_strength="0.9 % w/v",
        made_up_to="100 mL",
    )
    assert is_amount(found, "additive", "0.45 g")


def test_volumes_go_through_density_before_masses_are_mixed() -> None:
    found = work(
        "mixture-strength",
        amounts="100 g; 50 mL",
        strengths="10 % w/w; 0 % w/w",
        densities="-; 0.8 g/mL",
    )
    assert is_amount(found, "total", "140 g")
    assert is_amount(found, "active", "10 g")


def test_with_three_sources_one_of_many_answers_is_given_as_such() -> None:
    found = work("alligation", sources="20 %; 10 %; 2 %", target_strength="5 %")
    assert [found.value(f"parts_{place}") for place in (1, 2, 3)] == [
        Number(Fraction(3), "parts"),
        Number(Fraction(3), "parts"),
        Number(Fraction(20), "parts"),
    ]
    assert keys(found) == ["alligation.one_of_many"]


def test_units_in_mass_become_units_in_volume_through_density() -> None:
    found = work("strength-conversion", strength="100000 units/g", density="0.9")
    assert found.value("units_per_ml") == Concentration(Fraction(90_000), "international unit/mL")


def test_a_strength_in_a_dose_unit_is_a_strength_by_mass() -> None:
    found = work("strength-conversion", strength="5 mg/piece", unit="250 mg")
    assert found.value("percent_ww") == Concentration(Fraction(2), "% w/w")


def test_buoyancy_of_air_moves_the_density_a_little() -> None:
    weighings = {"empty": "20 g", "with_water": "70 g", "with_liquid": "82.5 g"}
    plain = work("pycnometer", **weighings)
    corrected = work("pycnometer", **weighings, air_density="0.0012 g/mL")
    assert plain.value("density") == Concentration(Fraction("1.24775"), "g/mL")
    assert corrected.value("density") == Concentration(Fraction("1.24745"), "g/mL")


def test_an_acid_for_a_molar_solution_goes_through_its_molar_mass() -> None:
    found = work(
        "concentrated-acid",
        density="1.18",
        assay="36.5",
        target="1 L",
        target_strength="1 mol/L",
        molar_mass="36.46",
    )
    assert is_amount(found, "pure", "36.46 g")


def test_only_whole_drops_are_given_and_what_they_hold_is_said() -> None:
    found = work("drops-and-doses", drop="25 mg", strength="20 mg/g", dose="1.3 mg")
    assert is_amount(found, "whole_drops", "3 drops")
    assert is_amount(found, "active_given", "1.5 mg")
    assert keys(found) == ["drops.rounded"]


def grams(number: str) -> Amount:
    return Amount(Fraction(number), "g")


def test_a_trituration_is_planned_in_weights_that_are_easily_set() -> None:
    fine = Balance("Fine", grams("200"), grams("0.001"), grams("0.1"))
    plan = trituration_plan(amount("5 mg"), [fine]).result
    (mixing,) = plan.mixings
    assert mixing.taken.amount == amount("0.1 g")
    assert mixing.one_in == 20
    assert plan.aliquot.amount == amount("0.1 g")
    assert plan.contains == amount("5 mg")


def test_a_permitted_error_raises_the_minimum_of_a_coarse_balance() -> None:
    fine = Balance("Fine", grams("200"), grams("0.001"), grams("0.02"))
    plan = trituration_plan(amount("50 mg"), [fine], Fraction(1)).result
    assert plan.mixings[0].taken.amount >= amount("0.1 g")
    assert plan.aliquot.amount >= amount("0.1 g")


def test_very_little_takes_more_than_one_mixing() -> None:
    fine = Balance("Fine", grams("200"), grams("0.001"), grams("0.1"))
    plan = trituration_plan(amount("20 micrograms"), [fine]).result
    assert len(plan.mixings) > 1
    assert plan.contains == amount("20 micrograms")


def test_a_stock_solution_is_large_enough_to_dissolve_what_is_in_it() -> None:
    fine = Balance("Fine", grams("200"), grams("0.001"), grams("0.1"))
    cylinder = Measure("Cylinder", amount("100 mL"), amount("1 mL"), amount("10 mL"))
    plan = aliquot_plan(amount("20 mg"), [fine], [cylinder], solubility=Fraction(400)).result
    assert plan.stock.amount >= Amount(plan.drug.amount.to("g").number * 400, "mL")
    assert plan.contains == amount("20 mg")


def test_a_small_volume_of_a_liquid_active_is_diluted_and_measured() -> None:
    pipette = Measure("Pipette", amount("1 mL"), amount("0.01 mL"), amount("0.2 mL"))
    cylinder = Measure("Cylinder", amount("10 mL"), amount("0.1 mL"), amount("2 mL"))
    plan = aliquot_plan(amount("0.03 mL"), [], [pipette, cylinder]).result
    assert plan.contains.to("mL") == amount("0.03 mL")
    assert plan.strength is None
