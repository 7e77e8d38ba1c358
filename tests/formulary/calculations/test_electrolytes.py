"""The ion counted is never a guess: it comes from the formula, or it is asked for and named."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.calculating.outcome import Outcome
from formulary.quantity.amount import Amount, Concentration
from tests.formulary.calculations.asking import ask, findings, refused

AMOUNT, STRENGTH = "millimoles-and-milliequivalents", "electrolyte-strength"
SEVERAL = "ion-from-several-salts"


def milli(outcome: Outcome, name: str) -> float:
    found = outcome.value(name)
    assert isinstance(found, Amount | Concentration)
    return round(float(found.number), 2)


def named(outcome: Outcome, name: str) -> str:
    return str(next(each.of for each in outcome.results if each.name == name))


def test_a_gram_of_calcium_chloride_dihydrate_is_13_6_milliequivalents_of_either_ion() -> None:
    # Common table of electrolyte salts: 1 g of CaCl2.2H2O holds 6.8 mmol (13.6 mEq) of calcium.
    found = ask(AMOUNT, amount="1 g", molar_mass="CaCl2.2H2O")
    assert (milli(found, "equivalents"), milli(found, "ions")) == (13.6, 6.8)
    assert (milli(found, "other_equivalents_1"), milli(found, "other_ions_1")) == (13.6, 13.6)
    assert named(found, "equivalents") == "calcium (Ca²⁺)"
    assert named(found, "other_equivalents_1") == "chloride (Cl⁻)"
    assert findings(found) == {"electrolytes.counted", "electrolytes.ideal"}


@pytest.mark.parametrize(
    ("formula", "milliequivalents"),
    # mEq of cation in 1 g, as tables for parenteral nutrition print them.
    [
        ("NaCl", 17.1),
        ("KCl", 13.4),
        ("NaHCO3", 11.9),
        ("MgSO4.7H2O", 8.1),
        ("C2H3NaO2.3H2O", 7.3),
        ("C2H3KO2", 10.2),
        ("Ca(C6H11O7)2.H2O", 4.5),
        ("K2HPO4", 11.5),
        ("NH4Cl", 18.7),
        ("Li2CO3", 27.1),
    ],
)
def test_a_gram_of_a_salt(formula: str, milliequivalents: float) -> None:
    found = ask(AMOUNT, amount="1 g", molar_mass=formula)
    assert milli(found, "equivalents") == pytest.approx(milliequivalents, abs=0.06)


def test_without_a_formula_an_unknown_charge_gives_no_milliequivalents() -> None:
    found = ask(AMOUNT, amount="1 g", molar_mass="147")
    assert "equivalents" not in {each.name for each in found.results}
    assert findings(found) == {"electrolytes.no_equivalents"}
    assert refused(AMOUNT, amount="1 mEq", molar_mass="147") == "electrolytes.charge_missing"
    assert refused(STRENGTH, strength="4 mEq/L", molar_mass="147") == "electrolytes.charge_missing"
    said = refused(STRENGTH, strength="9 g/L", molar_mass="58.5", wanted="2 mEq")
    assert said == "electrolytes.charge_missing"


def test_one_ion_in_a_formula_is_named_as_taken() -> None:
    found = ask(AMOUNT, amount="1 g", molar_mass="147", ion="Ca")
    assert milli(found, "equivalents") == 13.61
    assert findings(found) == {"electrolytes.assumed_one"}
    found = ask(AMOUNT, amount="1 g", molar_mass="110.98", valence="1", ions="2")
    assert findings(found) == {"electrolytes.counted"}


def test_what_is_typed_of_an_ion_picks_it_or_is_refused() -> None:
    chloride = ask(AMOUNT, amount="1 g", molar_mass="CaCl2", valence="1")
    assert (named(chloride, "ions"), milli(chloride, "ions")) == ("chloride (Cl⁻)", 18.02)
    assert ask(AMOUNT, amount="1 g", molar_mass="CaCl2", ion="Cl-").results == chloride.results
    for typed in ({"valence": "3"}, {"ions": "1", "valence": "1"}, {"ion": "sodium"}):
        said = refused(AMOUNT, amount="1 g", molar_mass="CaCl2", **typed)
        assert said == "electrolytes.not_held"
    said = refused(AMOUNT, amount="1 g", molar_mass="147", ion="Ca", valence="1")
    assert said == "electrolytes.charge_differs"
    said = refused(AMOUNT, amount="1 g", molar_mass="147", ion="kryptonite")
    assert said == "electrolytes.ion_unknown"


def test_of_a_double_salt_the_ion_must_be_said() -> None:
    alum = "KAl(SO4)2.12H2O"
    assert refused(AMOUNT, amount="1 g", molar_mass=alum) == "electrolytes.which_ion"
    found = ask(AMOUNT, amount="1 mmol", molar_mass=alum, ion="Al")
    assert found.value("equivalents") == Amount(Fraction(3), "mEq")
    assert found.value("other_equivalents_2") == Amount(Fraction(4), "mEq")


def test_each_ion_of_a_solution_has_its_strength() -> None:
    found = ask(STRENGTH, strength="10 % w/v", molar_mass="CaCl2.2H2O", volume="10 mL")
    assert milli(found, "equivalents") == 13.6
    assert milli(found, "equivalent_strength") == 1360.47
    assert milli(found, "other_ion_strength_1") == 1360.47
    assert milli(found, "osmolarity") == 2040.71


def test_salts_that_share_an_ion_are_added_up_by_their_formulas() -> None:
    found = ask(SEVERAL, masses="1 g; 1 g", molar_masses="KCl; K2HPO4")
    assert (named(found, "total_ions"), milli(found, "total_ions")) == ("potassium (K⁺)", 24.9)
    assert findings(found) == set()
    phosphates = {"masses": "1 g; 1 g", "molar_masses": "Na2HPO4; C6H5Na3O7"}
    assert milli(ask(SEVERAL, **phosphates), "total_equivalents") == 25.71
    several = {"masses": "1 g; 1 g", "molar_masses": "NaCl; CaCl2"}
    assert milli(ask(SEVERAL, **several, ion="chloride"), "total_ions") == 35.13
    assert refused(SEVERAL, **several, ion="sodium") == "electrolytes.not_held"
    mixed = ask(SEVERAL, masses="1 g; 1 g", molar_masses="NaCl; 110.98", ion="Cl")
    assert findings(mixed) == {"electrolytes.assumed_one_each"}
    said = refused(SEVERAL, masses="1 g; 1 g", molar_masses="NaCl; MgSO4")
    assert said == "electrolytes.which_ion"
    bare = ask(SEVERAL, masses="1 g; 1 g", molar_masses="58.5; 84")
    assert [each.name for each in bare.results] == ["total_ions"]


def test_millimoles_of_a_salt_with_several_of_an_ion_are_said_to_be_of_the_salt() -> None:
    salt = ask(AMOUNT, amount="10 mmol", molar_mass="CaCl2.2H2O", ion="Cl")
    assert "electrolytes.of_formula" in findings(salt)
    assert milli(salt, "ions") == 20
    wanted = ask(STRENGTH, strength="10 % w/v", molar_mass="CaCl2.2H2O", wanted="5 mmol")
    assert "electrolytes.of_formula" in findings(wanted)
    assert "electrolytes.of_formula" not in findings(
        ask(AMOUNT, amount="10 mmol", molar_mass="KCl")
    )
