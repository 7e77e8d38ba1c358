"""A default that changes an answer dangerously is asked for, or named beside the answer."""

from __future__ import annotations

import pytest

from formulary.calculating.describing import Calculation
from formulary.calculating.outcome import Outcome
from formulary.calculating.reading import calculate, read_inputs, worked
from formulary.calculating.registry import calculation_named, every_calculation
from formulary.catalogue import Catalogue
from formulary.errors import BadText
from formulary.finding import Severity
from tests.formulary.calculations.asking import ask, findings

# Neutral (nothing more, nothing less), constants of nature, or named in the answer's own words.
NEUTRAL = {
    ("capsule-in-process-check", "limit_loss"),
    ("capsule-in-process-check", "limit_spread"),
    ("correction-factor", "threshold"),
    ("concentrate-factor", "threshold"),
    ("dose-by-body", "dose_is"),
    ("dose-check", "range_is"),
    ("reducing-and-enlarging", "rest"),
    ("isotonicity", "isotonic_percent"),
    ("isotonicity-by-freezing-point", "adjuster_at"),
    ("isotonic-volume", "factor"),
    ("osmolality-by-freezing-point", "constant"),
    ("standard-dropper-test", "nominal"),
    ("standard-dropper-test", "tolerance"),
    ("standard-dropper-test", "deviation"),
    ("sodium-chloride-equivalent", "reference_molar_mass"),
    ("sodium-chloride-equivalent", "reference_dissociation"),
    ("uniformity-of-a-small-batch", "allowed"),
}
NEUTRAL_NAMES = {"spare", "excess", "containers", "chart", "unit"}
"""Spare units and containers; the chart and the unit are named where they are used."""
OF_ONE_LIST = {"capacities", "readabilities", "measure_capacities", "measure_readabilities"}
"""Parts of a list of balances or measures; the last of its inputs is named for all."""


def taken(outcome: Outcome) -> dict[str, Severity]:
    """Return the inputs whose defaults are named beside the answer, and how loudly."""
    return {f.field: f.severity for f in outcome.findings if f.said.key == "calculating.taken"}


def unexplained(each: Calculation) -> list[str]:
    return [
        i.name
        for i in each.inputs
        if i.default and i.assumed is None and i.name not in NEUTRAL_NAMES | OF_ONE_LIST
    ]


@pytest.mark.parametrize("each", every_calculation(), ids=lambda each: each.name)
def test_every_default_is_neutral_or_named(each: Calculation) -> None:
    assert [name for name in unexplained(each) if (each.name, name) not in NEUTRAL] == []


def test_a_default_is_named_only_where_it_was_taken() -> None:
    course = {"regions": "one arm; one arm", "age": "adult"}
    found = taken(ask_worked("fingertip-units", **course))
    assert found == {
        "unit_weighs": Severity.NOTE,
        "applications_per_day": Severity.REASON,
        "days": Severity.REASON,
    }
    course |= {"unit_weighs": "0.5 g", "applications_per_day": "1", "days": "1"}
    assert taken(ask_worked("fingertip-units", **course)) == {}


def ask_worked(name: str, **typed: str) -> Outcome:
    calculation = calculation_named(name)
    outcome = worked(calculation, read_inputs(calculation, typed))
    for said in outcome.findings:
        assert Catalogue().text(said.said)
    return outcome


def test_a_default_is_named_with_the_houses_decimal_sign() -> None:
    typed = {"regions": "one arm", "age": "adult"}
    outcome = calculate(calculation_named("fingertip-units"), typed, ",")
    said = [Catalogue("en", ",").text(each.said) for each in outcome.findings]
    assert any("0,5 g was taken" in each for each in said)


def test_two_bases_in_a_salt_are_asked_about_where_molar_masses_are_given() -> None:
    # Morphine sulfate pentahydrate holds two of the base: one taken halves the dose.
    salts = {"molar_mass_needed": "285.3", "molar_mass_supplied": "758.8", "needed": "10 mg"}
    assert taken(ask("salt-or-hydrate-equivalent", **salts)) == {
        "needed_per_supplied": Severity.REASON
    }
    assert taken(ask("correction-factor", assay="98 %", basis="as is")) == {}


def test_a_dose_for_a_day_is_never_taken_for_one_without_a_word() -> None:
    unsaid = ask("dose-by-body", dose="40 mg/kg", body_weight="10 kg", doses_per_day="2")
    assert "doses.meaning_unsaid" in findings(unsaid)
    said = ask("dose-by-body", dose="40 mg/kg/day", body_weight="10 kg", doses_per_day="2")
    assert "doses.meaning_unsaid" not in findings(said)
    check = {"prescribed": "250 mg", "body_weight": "20 kg", "usual_most": "15 mg/kg"}
    assert "doses.meaning_unsaid" in findings(ask("dose-check", **check))
    assert "doses.meaning_unsaid" not in findings(ask("dose-check", range_is="each dose", **check))


@pytest.mark.parametrize(
    ("name", "missing", "typed"),
    [
        ("uniformity-of-mass", "form", {"weights": "; ".join(["250 mg"] * 20)}),
        ("uniformity-of-a-small-batch", "form", {"weights": "2 g; 2 g; 2.1 g"}),
        ("ionisation", "form", {"pka": "4.76", "ph": "5"}),
    ],
)
def test_what_decides_the_answer_is_asked_for(
    name: str, missing: str, typed: dict[str, str]
) -> None:
    with pytest.raises(BadText) as caught:
        calculate(calculation_named(name), typed)
    assert caught.value.field == missing


@pytest.mark.parametrize("weight", ["18 g", "4 g", "700 kg"])
def test_a_body_weight_that_can_hardly_be_one_is_doubted(weight: str) -> None:
    dose = ask("dose-by-body", dose="15 mg/kg", body_weight=weight)
    assert "calculating.body_weight" in findings(dose)


@pytest.mark.parametrize("weight", ["18 kg", "900 g", "120 kg"])
def test_a_body_weight_of_a_person_is_not(weight: str) -> None:
    dose = ask("dose-by-body", dose="15 mg/kg", body_weight=weight)
    assert "calculating.body_weight" not in findings(dose)


def test_weights_without_a_unit_say_in_which_they_were_taken() -> None:
    bare = ask("uniformity-of-mass", weights="; ".join(["250"] * 20), form="tablets")
    assert "calculating.unit_unsaid" in findings(bare)
    typed = ask("uniformity-of-mass", weights="; ".join(["250"] * 20), form="tablets", unit="mg")
    assert "calculating.unit_unsaid" not in findings(typed)
