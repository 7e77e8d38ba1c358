"""Mass and volume through a density.

The figure is water's at 20 degrees Celsius, 0.9982 g/mL (CRC Handbook of Chemistry and Physics;
from memory).
"""

from __future__ import annotations

from fractions import Fraction
from typing import cast

import pytest

from formulary.errors import BadText, UnitMismatch
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density, mass_of, parse_density, volume_of, write_density
from formulary.quantity.parsing import parse_amount

SOURCE = "CRC Handbook of Chemistry and Physics"
WATER = Density(Fraction("0.9982"), SOURCE, "20 °C")


def test_a_litre_of_water_weighs_998_grams() -> None:
    assert mass_of(parse_amount("1 L"), WATER) == parse_amount("998.2 g")
    assert volume_of(parse_amount("0.9982 kg"), WATER) == parse_amount("1000 mL")


def test_a_density_bridges_only_mass_and_volume() -> None:
    with pytest.raises(UnitMismatch):
        mass_of(parse_amount("1 g"), WATER)
    with pytest.raises(UnitMismatch):
        volume_of(parse_amount("3 drops"), WATER)


@pytest.mark.parametrize(
    "typed", ["0.9982 g/mL", "0,9982 g/ml", "0.9982 g/cm3", "0.9982 g/cm\u00b3", "0.9982 kg/L"]
)
def test_a_density_is_read_in_any_mass_in_volume(typed: str) -> None:
    assert parse_density(typed, ".", SOURCE, "20 °C") == WATER


@pytest.mark.parametrize(
    "typed", ["0.91", "", "5 % w/v", "0.91 mL/g", "1 g/g", "1:2 w/v", "1 IU/mL"]
)
def test_a_density_without_mass_in_volume_is_refused(typed: str) -> None:
    with pytest.raises(BadText) as refused:
        parse_density(typed, ".", SOURCE)
    assert refused.value.message.key == "quantity.density.unit"


def test_a_density_of_zero_is_refused() -> None:
    with pytest.raises(BadText) as refused:
        parse_density("0 g/mL", ".", SOURCE)
    assert refused.value.message.key == "quantity.density.not_positive"


def test_a_density_is_exact_and_names_its_source() -> None:
    with pytest.raises(ValueError, match="source"):
        Density(Fraction(1), " ")
    with pytest.raises(TypeError, match="Fraction"):
        Density(cast("Fraction", 0.91), SOURCE)


def test_a_density_is_written_with_its_unit() -> None:
    assert write_density(WATER, ",") == "0,9982\u00a0g/mL"


def test_an_amount_of_mass_comes_back_from_its_volume() -> None:
    mass = Amount(Fraction(100, 3), "g")
    assert mass_of(volume_of(mass, WATER), WATER) == mass
