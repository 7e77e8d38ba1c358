"""Forms of a substance and what a lot's certificate changes, as a pharmacist expects it."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.calculating.hydrates import own_water, says_hydrate
from formulary.calculating.outcome import Number
from formulary.calculations.corrections import Basis, Certificate, content, correction
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


# The water of C6H8O7.H2O is 8.57 %: 18.015 of 210.14 g/mol, by the IUPAC weights.
CITRIC = {"basis": "anhydrous", "assay": "99.8 %", "water": "8.6 %", "ordered": "5 g"}


def test_a_hydrate_ordered_and_supplied_as_such_isn_t_corrected_for_its_own_water() -> None:
    outcome = ask(CORRECTION, **CITRIC, molar_mass_supplied="C6H8O7.H2O")
    assert outcome.value("factor") == Number(Fraction(1))
    assert "corrections.own_water_counted" in findings(outcome)


def test_its_own_water_is_counted_once_however_the_forms_are_typed() -> None:
    """Weighed by hand: 5 g of base, of C14H22N2O.HCl.H2O with 98.5 % and 6.2 % lost on drying.

    5 g x 288.81/234.34 = 6.1623 g of the pure hydrate; that lot is within 2 % of it, since
    98.5 % x 93.8 % / 93.76 % = 98.5 %.
    """
    typed = {"assay": "98.5 %", "ordered": "5 g", "molar_mass_ordered": "C14H22N2O"}
    hydrate = ask(
        CORRECTION,
        **typed,
        basis="dried",
        loss_on_drying="6.2 %",
        molar_mass_supplied="C14H22N2O.HCl.H2O",
    )
    as_is = ask(CORRECTION, **typed, basis="as is", molar_mass_supplied="C14H22N2O.HCl.H2O")
    weigh = hydrate.value("weigh")
    assert weigh == as_is.value("weigh")
    assert isinstance(weigh, Amount)
    assert round(weigh.to("g").number, 3) == Fraction("6.162")


@given(st.integers(90, 100), st.integers(0, 12))
def test_an_assay_without_water_says_of_a_hydrate_what_one_as_is_would(
    assay: int, loss: int
) -> None:
    """A lot that holds a share of the anhydrous substance holds that much more of the hydrate."""
    own = own_water("C6H8O7.H2O")
    lot = Certificate(Fraction(assay), Basis.ANHYDROUS, Fraction(loss), own)
    held = Fraction(assay) * (100 - loss) / 100 * Fraction("210.138") / Fraction("192.123")
    expected = min(held, Fraction(assay))
    assert abs(content(lot).result - expected) < Fraction(1, 1000)


def test_drying_that_leaves_the_water_in_is_said_to_be_taken_so() -> None:
    outcome = ask(
        CORRECTION, basis="dried", loss_on_drying="0.4 %", molar_mass_supplied="C12H22O11.H2O"
    )
    assert "corrections.own_water_left" in findings(outcome)
    assert outcome.value("content") == Number(Fraction("99.6"), "%")


def test_less_water_than_the_formula_has_is_doubted() -> None:
    outcome = ask(CORRECTION, basis="anhydrous", water="1 %", molar_mass_supplied="C12H22O11.H2O")
    assert "corrections.own_water_short" in findings(outcome)


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("Citric acid monohydrate", True),
        ("Acidum citricum monohydricum", True),
        ("Citronensäure-Monohydrat", True),
        ("Magnesium sulfate heptahydrate", True),
        ("Citric acid anhydrous", False),
        ("Carbohydrates", False),
        ("Chloral hydrate", False),
        ("Lidocaine hydrochloride", False),
    ],
)
def test_a_name_says_whether_it_is_a_hydrate(name: str, says: bool) -> None:  # noqa: FBT001  a table
    assert says_hydrate([name]) is says


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
