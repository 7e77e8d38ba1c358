"""Published sums of isotonic solutions, by every method."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from formulary.calculating.outcome import Number
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.finding import Severity
from formulary.quantity.amount import Amount, Concentration
from tests.formulary.calculations.published import Run, expect, published

SODIUM_CHLORIDE = {"reference_molar_mass": "58.5", "reference_dissociation": "1.8"}


def freezing(results: dict[str, str], **typed: str) -> tuple[Run, ...]:
    return (Run("isotonicity-by-freezing-point", typed, results),)


CASES = {
    "isotonicity-003": (
        Run(
            "isotonicity",
            {
                "volume": "10 mL",
                "masses": "0.08 g",
                "equivalents": "0.16",
                "adjuster_equivalent": "0.52",
            },
            {"sodium_chloride_equivalent": "missing_sodium_chloride", "boric_acid": "adjuster"},
        ),
    ),
    "isotonicity-005": (
        Run(
            "sodium-chloride-equivalent",
            {"molar_mass": "376", "dissociation": "1.8", **SODIUM_CHLORIDE},
            {"E": "equivalent"},
        ),
    ),
    "isotonicity-007": (
        Run(
            "sodium-chloride-equivalent",
            {"molar_mass": "136", "ions": "3", **SODIUM_CHLORIDE},
            {"E": "equivalent"},
        ),
    ),
    "isotonicity-011": freezing(
        {"sodium_chloride": "adjuster", "dibucaine_hydrochloride": "solute_1"},
        volume="30 mL",
        strengths="1 % w/v",
        depressions="0.08",
        adjuster_depression="0.58",
    ),
    "isotonicity-012": freezing(
        {"sodium_chloride": "adjuster"},
        volume="30 mL",
        strengths="1 %; 2 %",
        depressions="0.14; 0.11",
        isotonic_depression="0.518",
        adjuster_depression="0.576",
    ),
    "isotonicity-016": freezing(
        {"sodium_chloride": "adjuster"},
        volume="200 mL",
        strengths="1 g; 0.5 g",
        depressions="0.165; 0.138",
    ),
    "isotonicity-017": freezing(
        {"sodium_bicarbonate": "adjuster"},
        volume="500 mL",
        diluted_to="1000 mL",
        adjuster_depression="0.38",
    ),
    "isotonicity-018": freezing(
        {"boric_acid": "adjuster"}, volume="1 L", adjuster_depression="1.55", adjuster_at="5 %"
    ),
    "isotonicity-019": (
        Run(
            "isotonic-volume",
            {"masses": "0.06 g; 0.3 g", "equivalents": "0.23; 0.52"},
            {"isotonic_volume": "isotonic_volume"},
        ),
    ),
    "isotonicity-020": (
        Run(
            "isotonic-volume",
            {"masses": "0.75 g", "equivalents": "0.16"},
            {"isotonic_volume": "isotonic_volume"},
        ),
    ),
    "isotonicity-021": (
        Run(
            "isotonicity",
            {"volume": "50 mL", "masses": "0.8 g", "equivalents": "0.2"},
            {"sodium_chloride": "adjuster"},
        ),
    ),
}


@pytest.mark.parametrize("case", published("10-isotonicity"), ids=lambda case: case["id"])
def test_a_published_answer_comes_out(case: dict[str, Any]) -> None:
    expect(case, *CASES[case["id"]])


def test_the_factors_of_salts_are_those_of_the_textbooks() -> None:
    for ions, factor in ((1, "1"), (2, "1.8"), (3, "2.6"), (4, "3.4"), (5, "4.2")):
        typed = {"molar_mass": "100", "ions": str(ions)}
        outcome = calculate(calculation_named("sodium-chloride-equivalent"), typed)
        assert outcome.value("dissociation") == Number(Fraction(factor))


def test_a_salt_that_parts_less_has_a_smaller_factor() -> None:
    typed = {"molar_mass": "ZnSO4", "ions": "2", "parted": "40 %"}
    outcome = calculate(calculation_named("sodium-chloride-equivalent"), typed)
    assert outcome.value("dissociation") == Number(Fraction("1.4"))


def test_a_part_that_is_isotonic_in_itself_needs_nothing() -> None:
    # Tetracaine hydrochloride 0.5 % in 30 mL, of which 10 mL of an isotonic solution of
    # epinephrine bitartrate, with boric acid: 0.294 g (public answered exercise, page seen).
    typed = {"volume": "30 mL", "isotonic_part": "10 mL", "masses": "0.5 %"}
    boric_acid = {"equivalents": "0.18", "adjuster_equivalent": "0.52"}
    outcome = calculate(calculation_named("isotonicity"), typed | boric_acid)
    adjuster = outcome.value("adjuster")
    assert isinstance(adjuster, Amount)
    assert round(adjuster.number, 3) == Fraction("0.294")


def test_an_equivalent_from_the_table_says_where_it_is_from() -> None:
    typed = {"volume": "100 mL", "masses": "0.2 g", "solutes": "Glycerin"}
    typed["adjuster_equivalent"] = "1"
    outcome = calculate(calculation_named("isotonicity"), typed)
    assert outcome.value("adjuster") == Amount(Fraction("0.832"), "g")
    severities = [finding.severity for finding in outcome.findings]
    assert severities == [Severity.NOTE, Severity.REASON]


def test_isotonic_already_adds_nothing_and_says_so() -> None:
    typed = {"volume": "100 mL", "masses": "0.9 g", "equivalents": "1"}
    outcome = calculate(calculation_named("isotonicity"), typed)
    assert outcome.value("adjuster") == Amount(Fraction(0), "g")
    keys = [each.said.key for each in outcome.findings]
    assert keys == ["isotonicity.isotonic_already", "calculating.taken"]


def test_normal_saline_has_308_milliosmoles_in_a_litre() -> None:
    typed = {"volume": "1 L", "masses": "9 g", "molar_masses": "NaCl", "particles": "2"}
    outcome = calculate(calculation_named("osmolarity"), typed)
    found = outcome.value("osmolarity")
    assert isinstance(found, Concentration)
    assert round(found.number) == 308


def test_several_solutes_add_their_osmoles() -> None:
    typed = {"volume": "500 mL", "masses": "25 g; 10 mmol", "particles": "1; 2"}
    outcome = calculate(calculation_named("osmolarity"), typed | {"molar_masses": "180.16; 58.44"})
    total = outcome.value("total")
    assert isinstance(total, Amount)
    assert total.number == 25000 / Fraction("180.16") + 20


def test_the_isotonic_depression_is_280_milliosmoles() -> None:
    name = "osmolality-by-freezing-point"
    outcome = calculate(calculation_named(name), {"depression": "0.52"})
    assert outcome.value("osmolality") == Number(Fraction(52000, 186), "mOsm/kg")
    back = calculate(calculation_named(name), {"osmolality": "300"})
    assert back.value("depression") == Number(Fraction("0.558"), "°C")
