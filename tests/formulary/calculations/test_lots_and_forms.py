"""Forms of a substance and what a lot's certificate changes, as a pharmacist expects it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.calculating.outcome import Number
from formulary.calculations.corrections import Basis, Certificate, correction
from formulary.errors import Refusal
from formulary.quantity.amount import Amount
from tests.formulary.calculations.asking import ask, findings, refused

EQUIVALENT, CORRECTION = "salt-or-hydrate-equivalent", "correction-factor"


def test_a_gram_of_citric_acid_monohydrate_is_0_914_g_of_the_anhydrous_acid() -> None:
    masses = {"molar_mass_needed": "210.14", "molar_mass_supplied": "192.13"}
    outcome = ask(EQUIVALENT, needed="1 g", **masses)
    weigh = outcome.value("weigh")
    assert isinstance(weigh, Amount)
    assert round(weigh.to("g").number, 3) == Fraction("0.914")
    assert "equivalence.below_one" in findings(outcome)


def test_a_salt_with_two_bases_in_its_formula_counts_both() -> None:
    masses = {"molar_mass_needed": "100", "molar_mass_supplied": "300"}
    once = ask(EQUIVALENT, needed="1 g", needed_per_supplied="2", **masses)
    assert once.value("factor") == Number(Fraction(3, 2))


def test_a_part_heavier_than_the_whole_is_refused() -> None:
    said = refused("part-of-a-salt", molar_mass="NaCl", part_molar_mass="Cl2", whole="1 g")
    assert said == "equivalence.part_too_large"


def test_both_or_neither_amount_is_refused() -> None:
    masses = {"molar_mass_needed": "210.14", "molar_mass_supplied": "192.13"}
    assert refused(EQUIVALENT, **masses) == "equivalence.one_of_two"
    assert refused(EQUIVALENT, needed="1 g", supplied="1 g", **masses) == "equivalence.one_of_two"


def test_the_certificates_basis_decides_whether_water_counts() -> None:
    as_is = ask(CORRECTION, assay="95 %", basis="as is", water="5 %")
    dried = ask(CORRECTION, assay="95 %", basis="dried", loss_on_drying="5 %")
    assert as_is.value("factor") == Number(Fraction(100, 95))
    assert dried.value("factor") == Number(Fraction(10000, 95 * 95))
    assert "corrections.loss_counted" in findings(as_is)


def test_a_dried_basis_without_a_loss_is_refused() -> None:
    assert refused(CORRECTION, assay="97 %", basis="dried") == "corrections.loss_missing"
    assert ask(CORRECTION, assay="97 %", basis="dried", loss_on_drying="0 %").value("corrected")


def test_without_a_range_the_program_says_so_and_with_one_it_judges() -> None:
    typed = {"assay": "93 %", "basis": "as is"}
    inside = ask(CORRECTION, usual_least="1", usual_most="1.1", **typed)
    outside = ask(CORRECTION, usual_least="1", usual_most="1.05", **typed)
    assert "corrections.no_range" in findings(ask(CORRECTION, **typed))
    assert "corrections.in_range" in findings(inside)
    assert "corrections.out_of_range" in findings(outside)


def test_a_hydrates_factor_may_lower_the_weight_below_the_order() -> None:
    lot = Certificate(ordered=Fraction("210.14"), supplied=Fraction("192.13"))
    assert correction(lot).result == Fraction("192.13") / Fraction("210.14")


def test_water_of_crystallisation_counted_twice_is_noticed() -> None:
    outcome = ask(
        CORRECTION,
        basis="anhydrous",
        water="8.57 %",
        molar_mass_ordered="192.13",
        molar_mass_supplied="210.14",
    )
    assert "corrections.counted_twice" in findings(outcome)


def test_only_a_concentrate_may_fall_below_one() -> None:
    strong = Certificate(Fraction(103))
    assert correction(strong).result == 1
    concentrate = Certificate(Fraction(103), concentrate=True)
    assert correction(concentrate).result == Fraction(100, 103)


def test_a_loss_of_all_and_one_of_two_molar_masses_are_refused() -> None:
    with pytest.raises(Refusal):
        correction(Certificate(basis=Basis.DRIED, loss=Fraction(100)))
    with pytest.raises(Refusal):
        correction(Certificate(ordered=Fraction(100)))


def test_units_become_mass_by_the_lots_own_potency_both_ways() -> None:
    lot = {"potency": "5000 units/mg"}
    take = ask("international-units", ordered="1 000 000 units", **lot).value("take")
    held = ask("international-units", taken="0.2 g", **lot).value("held")
    assert take == Amount(Fraction(1, 5), "g")
    assert held == Amount(Fraction(1_000_000), "international unit")


def test_a_potency_on_the_dried_substance_needs_its_loss() -> None:
    typed = {"potency": "900 microgram/mg", "basis": "dried", "ordered": "0.855 g"}
    assert refused("international-units", **typed) == "potency.loss_missing"
    outcome = ask("international-units", loss="5 %", **typed)
    assert outcome.value("take") == Amount(Fraction(1), "g")


def test_units_never_meet_milligrams() -> None:
    said = refused("international-units", potency="5000 units/mg", ordered="20 mg")
    assert said == "potency.wrong_order"


def test_osmoles_need_particles_and_a_per_cent_by_weight_is_no_strength_in_a_litre() -> None:
    amount = "millimoles-and-milliequivalents"
    said = refused(amount, amount="308 mOsm", molar_mass="58.44")
    assert said == "electrolytes.particles_missing"
    said = refused("electrolyte-strength", strength="0.9 % w/w", molar_mass="NaCl")
    assert said == "electrolytes.wrong_strength"
