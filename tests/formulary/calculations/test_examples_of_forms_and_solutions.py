"""Ethanol, moulds, capsules, isotonicity, HLB and buffers work with their examples, in words."""

from __future__ import annotations

import re

import pytest

from formulary.calculating.describing import Calculation
from formulary.calculating.outcome import Number, Outcome
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named, every_calculation
from formulary.catalogue import Catalogue

AREAS = {
    "buffer_additions",
    "buffer_making",
    "buffers",
    "capsule_weights",
    "capsules",
    "ethanol",
    "ethanol_strength",
    "hlb",
    "isotonicity",
    "osmolarity",
    "suppositories",
    "suppository_trials",
    "tonicity_estimates",
}
OURS = [each for each in every_calculation() if each.area in AREAS]
PARTS = ("title", "about", "source", "limits", "caution")


@pytest.mark.parametrize("calculation", OURS, ids=lambda each: each.name)
def test_a_calculation_works_with_its_example_and_says_all_in_words(
    calculation: Calculation,
) -> None:
    said = Catalogue()
    assert all(said.text(calculation.text(part)).strip() for part in PARTS)
    assert all(said.text(calculation.input_said(each.name)) for each in calculation.inputs)
    outcome = calculate(calculation, dict(calculation.examples))
    assert all(said.text(f"{calculation.area}.result.{name}") for name in names(outcome))
    assert all(said.text(step) for step in outcome.steps)
    assert all(said.text(finding.said) for finding in outcome.findings)


def names(outcome: Outcome) -> set[str]:
    """Return the names of results, those of a list without their number."""
    return {re.sub(r"_[0-9]+$", "", result.name) for result in outcome.results}


def test_the_sums_that_are_no_routine_stay_exact() -> None:
    typed = {"ordered": "3", "mould": "1 g", "doses": "0.1 g", "displacement_values": "3"}
    outcome = calculate(calculation_named("suppositories"), typed)
    assert not any(isinstance(r.value, Number) and r.value.rounded for r in outcome.results)
