"""What a factor may be: never below 1 for assay and water, either way for a salt or hydrate."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.calculating.outcome import Number, Outcome
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.calculations.corrections import Basis, Certificate, correction, lot_factor

PERCENT = st.fractions(20, 130)
LOSS = st.fractions(0, 50)
THRESHOLD = st.fractions(0, 10)


def worked(**typed: str) -> Outcome:
    """Return the outcome of the correction factor for what is typed."""
    return calculate(calculation_named("correction-factor"), {"basis": "as is"} | typed)


def factor(**typed: str) -> Fraction:
    """Return the factor for what is typed."""
    (found,) = (each.value for each in worked(**typed).results if each.name == "factor")
    assert isinstance(found, Number)
    return found.number


def keys(outcome: Outcome) -> list[str]:
    """Return what the findings say, by their keys."""
    return [each.said.key.removeprefix("corrections.") for each in outcome.findings]


@given(PERCENT, st.sampled_from(Basis), LOSS, THRESHOLD)
def test_assay_and_water_never_lower_a_weight(
    assay: Fraction, basis: Basis, loss: Fraction, threshold: Fraction
) -> None:
    assert lot_factor(Certificate(assay, basis, loss, threshold=threshold)).result >= 1


@given(st.fractions(0, 10), THRESHOLD)
def test_nothing_is_corrected_up_to_the_threshold_and_all_of_it_beyond(
    gap: Fraction, threshold: Fraction
) -> None:
    found = lot_factor(Certificate(100 - gap, threshold=threshold)).result
    assert found == (1 if gap <= threshold else 100 / (100 - gap))


@given(st.integers(50, 900), st.integers(50, 900))
def test_a_form_is_corrected_either_way_below_the_threshold_too(
    ordered: int, supplied: int
) -> None:
    lot = Certificate(Fraction(99), ordered=Fraction(ordered), supplied=Fraction(supplied))
    assert correction(lot).result == Fraction(supplied, ordered)


@pytest.mark.parametrize(("assay", "expected"), [("98 %", "1"), ("97 %", "100/97")])
def test_the_default_threshold_is_two_per_cent(assay: str, expected: str) -> None:
    assert factor(assay=assay) == Fraction(expected)


def test_an_anhydrous_form_for_a_hydrate_has_a_factor_below_one() -> None:
    """The project's own check value: 1 g of the monohydrate is 0.914 g of the anhydrous acid."""
    found = factor(molar_mass_ordered="210.14", molar_mass_supplied="192.13")
    assert round(found, 3) == Fraction("0.914")


def test_without_a_usual_range_none_is_made_up() -> None:
    assert "no_range" in keys(worked(assay="93.5 %"))


@pytest.mark.parametrize(("most", "said"), [("1.1", "in_range"), ("1.05", "out_of_range")])
def test_the_houses_own_range_is_held_against_the_factor(most: str, said: str) -> None:
    found = keys(worked(assay="93.5 %", usual_least="1", usual_most=most))
    assert said in found
    assert "no_range" not in found
