"""Published dilutions, densities and tables of ethanol."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from formulary.calculating.ethanol_water import (
    density,
    mass_fraction_of_density,
    mass_fraction_of_volume,
    volume_fraction,
)
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.calculating.tables import table
from formulary.calculations.ethanol import Conditions, for_total
from formulary.quantity.amount import Amount
from tests.formulary.calculations.published import CLOSE, Run, expect, published

ROOM = Fraction(20)
US_SCALE = Fraction("15.56")
VOLUMES = {"stock": "stock_volume", "water": "diluent_volume"}
CLOSE_TO_A_PRINTED_TABLE = Fraction(3, 10**4)
"""The exact answers of these cases come from gravities printed to four digits, not the formula."""


def diluted(stock: str, target: str) -> tuple[Run, ...]:
    typed = {"stock_strength": f"{stock} % v/v", "target_strength": f"{target} % v/v"}
    return (Run("ethanol-dilution", {**typed, "target": "1000 mL"}, VOLUMES),)


def made_up(stock: str, low: str, high: str) -> tuple[Run, ...]:
    typed = {"stock_strength": "96.3 % v/v", "stock": f"{stock} mL", "total": "1000 mL"}
    results = {"strength": "strength", "complies": "complies"}
    return (Run("ethanol-made-up", {**typed, "lowest": low, "highest": high}, results),)


def on_us_scale(percent: str) -> tuple[Run, ...]:
    typed = {"strength": f"{percent} % v/v", "scale": "15.56 °C"}
    return (Run("ethanol-strength", typed, {"weight_percent": "weight_percent"}),)


CASES = {
    "alcohol-003": diluted("96.0", "95"),
    "alcohol-004": diluted("96.3", "70"),
    "alcohol-006": diluted("96.3", "90"),
    "alcohol-008": diluted("95.6", "30"),
    "alcohol-009": diluted("95.6", "40"),
    "alcohol-010": diluted("95.6", "50"),
    "alcohol-011": diluted("95.6", "60"),
    "alcohol-012": diluted("96.0", "70"),
    "alcohol-013": (
        Run(
            "ethanol-dilution",
            {"stock_strength": "96 % v/v", "target_strength": "80 % v/v", "target": "100 g"},
            {"ethanol_96": "stock_mass", "water": "diluent_mass"},
        ),
    ),
    "alcohol-017": (
        Run(
            "ethanol-mixture",
            {"amounts": "50 mL; 50 mL", "strengths": "96 % v/v; 0 % v/v"},
            {"volume": "total_volume", "strength": "volume_percent"},
        ),
    ),
    "alcohol-022": (Run("ethanol-strength", {"strength": "10 % w/w"}, {"density": "density"}),),
    "alcohol-023": (Run("ethanol-strength", {"strength": "12 % w/w"}, {"density": "density"}),),
    "alcohol-025": (
        Run(
            "ethanol-strength",
            {"strength": "50 % v/v", "temperature": "20 °C"},
            {"mass_percent": "weight_percent", "density": "density"},
        ),
    ),
    "alcohol-029": on_us_scale("20"),
    "alcohol-030": on_us_scale("30"),
    "alcohol-031": made_up("934", "89.6", "90.5"),
    "alcohol-032": made_up("831", "79.5", "80.3"),
    "alcohol-033": made_up("727", "69.5", "70.4"),
    "alcohol-034": made_up("623", "59.7", "60.2"),
}
FROM_A_PRINTED_TABLE = ("alcohol-029", "alcohol-030")


@pytest.mark.parametrize("case", published("07-alcohol"), ids=lambda case: case["id"])
def test_a_published_answer_comes_out(case: dict[str, Any]) -> None:
    printed = case["id"] in FROM_A_PRINTED_TABLE
    expect(case, *CASES[case["id"]], close=CLOSE_TO_A_PRINTED_TABLE if printed else CLOSE)


def of(row: dict[str, Any], name: str) -> Fraction:
    return Fraction(row[name])


def percent_v_v(row: dict[str, Any], name: str) -> Fraction:
    return mass_fraction_of_volume(of(row, name) / 100, ROOM)


@pytest.mark.parametrize("row", table("alcohol-dilution-by-volume"))
def test_the_table_of_volumes_for_a_litre_comes_out(row: dict[str, Any]) -> None:
    at = Conditions(of(row, "temperature"), ROOM)
    total = at.weighed(percent_v_v(row, "target_percent_vv"), Amount(Fraction(1), "L"))
    found = for_total(total, percent_v_v(row, "stock_percent_vv"), Fraction(0), at)
    assert abs(found.stock.volume.number - of(row, "stock_ml")) < Fraction("0.1")
    assert abs(found.diluent.volume.number - of(row, "water_ml")) < Fraction("0.2")
    assert round(found.stock.volume.number, 2) == of(row, "oiml_stock_ml")
    assert round(found.diluent.volume.number, 2) == of(row, "oiml_water_ml")


@pytest.mark.parametrize("row", table("alcohol-density"))
def test_handbook_densities_are_met(row: dict[str, Any]) -> None:
    found = density(of(row, "percent_ww") / 100, ROOM) * 1000
    assert abs(found - of(row, "density_20_kg_m3")) < Fraction("0.06")
    if row["seen"]:
        return
    assert abs(percent_v_v(row, "percent_vv_20") * 100 - of(row, "percent_ww")) < Fraction("0.0001")


@pytest.mark.parametrize("row", table("alcohol-15-56"))
def test_the_table_of_the_15_56_scale_is_met(row: dict[str, Any]) -> None:
    found = mass_fraction_of_volume(of(row, "percent_vv_15_56") / 100, US_SCALE)
    assert abs(found * 100 - of(row, "percent_ww")) < Fraction("0.02")
    if "specific_gravity_15_56" in row:
        gravity = density(found, US_SCALE) / density(Fraction(0), US_SCALE)
        assert abs(gravity - of(row, "specific_gravity_15_56")) < Fraction("0.0002")


@pytest.mark.parametrize(
    "row", [row for row in table("dilute-ethanols-official") if "content_low_percent_vv" in row]
)
def test_the_official_dilute_ethanols_lie_in_their_official_ranges(row: dict[str, Any]) -> None:
    strength = Fraction("96.3") * of(row, "ethanol_96_ml") / of(row, "made_up_to_ml")
    assert of(row, "content_low_percent_vv") <= strength <= of(row, "content_high_percent_vv")
    if "apparent_density_low_kg_m3" in row:
        # Weighed in air, so about 1.1 kg/m3 below the true density.
        found = density(mass_fraction_of_volume(strength / 100, ROOM), ROOM) * 1000 - 1
        low, high = (of(row, f"apparent_density_{end}_kg_m3") for end in ("low", "high"))
        assert low - 1 < found < high + 1


def test_the_us_monograph_of_equal_volumes_comes_out() -> None:
    typed = {"amounts": "500 mL; 500 mL", "strengths": "94.9 % v/v; 0 % v/v"}
    us = {"temperature": "25 °C", "scale": "15.56 °C"}
    outcome = calculate(calculation_named("ethanol-mixture"), typed | us)
    volume, strength = (outcome.value(name) for name in ("total_volume", "volume_percent"))
    assert isinstance(volume, Amount)
    assert abs(volume.number - 970) < 2
    assert Fraction("48.4") <= getattr(strength, "number", 0) <= Fraction("49.5")


@pytest.mark.parametrize("temperature", [-20, 0, 20, 40])
def test_densities_and_strengths_lead_back_to_themselves(temperature: int) -> None:
    at = Fraction(temperature)
    for percent in range(0, 101, 5):
        fraction = Fraction(percent, 100)
        by_density = mass_fraction_of_density(density(fraction, at), at)
        by_volume = mass_fraction_of_volume(volume_fraction(fraction, at), at)
        assert abs(by_density - fraction) < Fraction(1, 10**13)
        assert abs(by_volume - fraction) < Fraction(1, 10**13)
