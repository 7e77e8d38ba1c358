"""Ions found from formulas: those of salts a pharmacy has, and nothing that isn't sure."""

from __future__ import annotations

import pytest

from formulary.calculating.chemistry import molar_mass
from formulary.calculating.ions import common_ions, ions_called, ions_of

# Charges as in any textbook of chemistry; formulas as substances are written in pharmacopoeias,
# some in the order of symbols (C6H5Na3O7).
SALTS = {
    "NaCl": ("Na", 1, "Cl", 1),
    "KCl": ("K", 1, "Cl", 1),
    "CaCl2.2H2O": ("Ca", 1, "Cl", 2),
    "MgCl2·6H2O": ("Mg", 1, "Cl", 2),
    "MgSO4.7H2O": ("Mg", 1, "SO4", 1),
    "NaHCO3": ("Na", 1, "HCO3", 1),
    "Li2CO3": ("Li", 2, "CO3", 1),
    "NaH2PO4.H2O": ("Na", 1, "H2PO4", 1),
    "Na2HPO4.12H2O": ("Na", 2, "HPO4", 1),
    "K3PO4": ("K", 3, "PO4", 1),
    "C6H5Na3O7.2H2O": ("Na", 3, "C6H5O7", 1),
    "Ca(C6H11O7)2.H2O": ("Ca", 1, "C6H11O7", 2),
    "C2H3KO2": ("K", 1, "C2H3O2", 1),
    "NH4Cl": ("NH4", 1, "Cl", 1),
    "(NH4)2SO4": ("NH4", 2, "SO4", 1),
    "FeSO4.7H2O": ("Fe", 1, "SO4", 1),
    "ZnSO4.7H2O": ("Zn", 1, "SO4", 1),
    "CaSO4.1/2H2O": ("Ca", 1, "SO4", 1),
    "KMnO4": ("K", 1, "MnO4", 1),
}


@pytest.mark.parametrize("formula", SALTS)
def test_a_salt_falls_into_its_ions(formula: str) -> None:
    (positive, count), (negative, number) = ions_of(formula)
    assert (positive.formula, count, negative.formula, number) == SALTS[formula]
    assert positive.charge * count + negative.charge * number == 0


def test_the_charge_of_iron_follows_from_its_salt() -> None:
    assert ions_of("FeCl2")[0][0].charge == 2
    assert ions_of("FeCl3")[0][0].charge == 3


def test_a_double_salt_has_both_its_metals() -> None:
    found = {ion.formula: count for ion, count in ions_of("KAl(SO4)2.12H2O")}
    assert found == {"K": 1, "Al": 1, "SO4": 2}


@pytest.mark.parametrize(
    "unsure", ["C6H12O6", "CH4N2O", "HCl", "C16H17KN2O5S", "147", "58.5 g/mol"]
)
def test_what_the_table_doesnt_know_has_no_ions(unsure: str) -> None:
    assert ions_of(unsure) == ()


@pytest.mark.parametrize("typed", ["calcium", "Calcium", "Ca", "Ca2+", "Ca 2+", "Ca+2", "ca"])
def test_an_ion_is_called_by_name_or_formula(typed: str) -> None:
    assert [each.charge for each in ions_called(typed)] == [2]


def test_iron_alone_may_be_either_of_two() -> None:
    assert {each.charge for each in ions_called("iron")} == {2, 3}
    assert ions_called("kryptonite") == ()


def test_every_ion_of_the_table_has_a_formula_that_can_be_read() -> None:
    assert all(molar_mass(each.formula) > 0 and each.charge for each in common_ions())
