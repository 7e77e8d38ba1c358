"""Published sums of suppositories, in both conventions of displacement."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.calculations.suppositories import Active, base_needed
from formulary.quantity import units
from formulary.quantity.amount import Amount
from tests.formulary.calculations.published import Run, expect, published

ALL = {
    "drug": "drug_1",
    "base_displaced": "base_displaced_1",
    "base": "base",
    "total": "total",
    "unit_weight": "unit_weight",
}


def moulded(*expected: str, **typed: str) -> tuple[Run, ...]:
    return (Run("suppositories", typed, {name: ALL[name] for name in expected}),)


CASES = {
    "suppository-001": moulded(
        *ALL, ordered="15", mould="1 g", doses="50 mg", displacement_values="0.7"
    ),
    "suppository-002": moulded(
        "base_displaced", "base", ordered="1", mould="2 g", doses="400 mg", displacement_values="5"
    ),
    "suppository-005": (
        Run(
            "displacement-value",
            {
                "units": "6",
                "mould": "1 g",
                "total_weight": "8.8 g",
                "strength": "40 % w/w",
                "base": "theobroma oil",
            },
            {"drug": "drug", "base": "base", "displacement_value": "displacement_value"},
        ),
    ),
    "suppository-008": moulded(
        "drug", "base", ordered="10", mould="2 g", doses="400 mg", displacement_values="4.7"
    ),
    "suppository-009": moulded(
        "base_displaced",
        "base",
        ordered="5",
        mould="3 g",
        doses="10 mg",
        displacement_factors="0.7",
    ),
    "suppository-011": moulded(
        "base", ordered="10", spare="0", mould="1 g", doses="100 mg", displacement_factors="0.7"
    ),
}


@pytest.mark.parametrize("case", published("08-suppository"), ids=lambda case: case["id"])
def test_a_published_answer_comes_out(case: dict[str, Any]) -> None:
    expect(case, *CASES[case["id"]])


def grams(name: str, **typed: str) -> dict[str, Fraction]:
    outcome = calculate(calculation_named(name), typed)
    amounts = {r.name: r.value for r in outcome.results if isinstance(r.value, Amount)}
    return {
        name: amount.to("g").number
        for name, amount in amounts.items()
        if units.dimension(amount.unit) is units.MASS
    }


def test_twelve_and_two_spare_take_28_decigrams_and_266_decigrams_of_base() -> None:
    typed = {"ordered": "12", "spare": "2", "mould": "2 g", "doses": "200 mg"}
    found = grams("suppositories", **typed, displacement_values="2")
    assert (found["drug_1"], found["base"]) == (Fraction("2.8"), Fraction("26.6"))
    assert found["spare_mass"] == Fraction("4.2")


def test_seven_by_the_displacement_factor_take_1274_centigrams_of_base() -> None:
    active = Active(Amount(Fraction("0.25"), "g"), Fraction("0.72"))
    found = base_needed(7, Amount(Fraction(2), "g"), (active,))
    assert found.result == Amount(Fraction("12.74"), "g")
    assert found.steps


def test_a_factor_is_found_in_the_table_only_for_its_own_base() -> None:
    typed = {"ordered": "6", "mould": "2 g", "doses": "0.25 g", "substances": "Ibuprofen"}
    found = grams("suppositories", **typed, base="hard fat")
    assert found["base"] == 12 - 6 * Fraction("0.25") * Fraction("0.9")


def test_the_cavity_of_a_mould_and_its_weight_in_another_base_follow_from_densities() -> None:
    typed = {"total_weight": "11.4 g", "units": "6", "base_density": "0.95 g/mL"}
    outcome = calculate(calculation_named("mould-calibration"), typed | {"other_density": "1.25"})
    assert outcome.value("mould") == Amount(Fraction("1.9"), "g")
    assert outcome.value("cavity") == Amount(Fraction(2), "mL")
    assert outcome.value("other_mould") == Amount(Fraction("2.5"), "g")


def test_double_casting_finds_the_displacement_that_the_sum_used() -> None:
    made = grams(
        "suppositories", ordered="12", mould="2 g", doses="200 mg", displacement_values="2"
    )
    cast = f"{made['total']} g"
    typed = {"units": "12", "mould": "2 g", "dose": "200 mg", "cast_weight": cast}
    outcome = calculate(calculation_named("double-casting"), typed)
    assert getattr(outcome.value("displacement_value"), "number", None) == 2


def test_a_per_cent_by_mass_is_that_of_the_finished_unit() -> None:
    typed = {"ordered": "10", "mould": "2 g", "doses": "10 % w/w"}
    found = grams("suppositories", **typed, displacement_factors="0.6")
    assert found["drug_1"] / found["total"] == Fraction(1, 10)
    # A medicated unit fills the cavity: its base and what the active displaces are plain units.
    assert found["base"] + found["base_displaced_1"] == 20
