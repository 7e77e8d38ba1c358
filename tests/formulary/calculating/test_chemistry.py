"""Molar masses are those of an independent library, and what is no formula is refused."""

from __future__ import annotations

from fractions import Fraction

import pytest
from molmass import ELEMENTS, Formula

from formulary.calculating.chemistry import atomic_weights, molar_mass
from formulary.calculating.tables import table
from formulary.errors import BadText

# Beyond rounding, editions differ most for elements whose mixture of isotopes varies in nature.
CLOSE = Fraction(2, 10000)
VARIABLE = {"Li": Fraction(1, 1000), "Ar": Fraction(1, 10000)}


@pytest.mark.parametrize(
    "formula",
    [
        "C6H8O7.H2O",
        "Ca(OH)2",
        "C36H62N4.2HCl",
        "MgSO4.7H2O",
        "NaCl",
        "KMnO4",
        "ZnO",
        "Na2B4O7.10H2O",
        "C21H30O5",
        "Al2(SO4)3.16H2O",
        "Ca3(C6H5O7)2.4H2O",
        "C16H19N3O4S.3H2O",
    ],
)
def test_a_formula_weighs_what_an_independent_library_says(formula: str) -> None:
    # The library writes additions by a plain sum of its parts.
    parts = [Formula(_without_dot(part)).mass for part in formula.split(".")]
    other = Fraction(sum(parts))
    assert abs(molar_mass(formula) - other) < other * CLOSE


def _without_dot(part: str) -> str:
    digits = part[: len(part) - len(part.lstrip("0123456789"))]
    return f"({part[len(digits) :]}){digits}" if digits else part


def test_every_atomic_weight_is_near_that_of_an_independent_library() -> None:
    for symbol, weight in atomic_weights().items():
        other = Fraction(ELEMENTS[symbol].mass)
        assert abs(weight - other) < other * VARIABLE.get(symbol, CLOSE), symbol


@pytest.mark.parametrize(
    ("formula", "mass"),
    [
        ("H2O", "18.015"),
        ("h2o".upper(), "18.015"),
        ("Fe4[Fe(CN)6]3", "859.239"),
        ("CaSO4.1/2H2O", "145.1415"),
        ("MgSO4·7H2O", "246.466"),
        ("Mg SO4 * 7 H2O", "246.466"),
    ],
)
def test_a_formula_is_read_as_people_write_it(formula: str, mass: str) -> None:
    assert molar_mass(formula) == Fraction(mass)


def test_a_published_molar_mass_comes_out_within_its_rounding() -> None:
    """Citric acid monohydrate 210.14 and anhydrous 192.13, as printed in certificates."""
    assert abs(molar_mass("C6H8O7.H2O") - Fraction("210.14")) < Fraction("0.011")
    assert abs(molar_mass("C6H8O7") - Fraction("192.13")) < Fraction("0.011")


@pytest.mark.parametrize(
    "typed",
    ["", " ", "C(2)", "()", "C6H8O7.", ".H2O", "(CH2", "CH2)", "2", "C0", "h2o", "C6H-", "C" * 81],
)
def test_what_is_no_formula_is_refused(typed: str) -> None:
    with pytest.raises(BadText) as caught:
        molar_mass(typed)
    assert caught.value.message.key == "calculating.no_chemical_formula"


@pytest.mark.parametrize("typed", ["XyCl", "TcO4"])
def test_an_element_without_a_standard_weight_is_refused(typed: str) -> None:
    with pytest.raises(BadText) as caught:
        molar_mass(typed)
    assert caught.value.message.key == "calculating.unknown_element"


def test_the_table_names_its_source_in_every_row() -> None:
    for row in table("atomic-weights"):
        assert row["source"]
        assert row["edition"] == "2021"
        assert isinstance(row["seen"], bool)
