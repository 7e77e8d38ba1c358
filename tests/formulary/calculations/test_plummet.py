"""A plummet weighed in air, water and a liquid, and a liquid active measured by volume."""

from __future__ import annotations

from fractions import Fraction

from formulary.quantity.amount import Amount
from tests.formulary.calculations.asking import ask, refused


def test_a_plummet_must_be_lighter_in_the_liquids_than_in_air() -> None:
    typed = {"in_air": "14.35 g", "in_water": "14.35 g", "in_liquid": "8.95 g"}
    assert refused("plummet", **typed) == "plummet.no_loss"
    typed |= {"in_water": "11.40 g", "in_liquid": "15 g"}
    assert refused("plummet", **typed) == "plummet.no_loss"


def test_in_water_itself_the_relative_density_is_one() -> None:
    found = ask("plummet", in_air="20 g", in_water="12 g", in_liquid="12 g", water_density="1")
    assert getattr(found.value("relative_density"), "number", None) == 1


def test_a_liquid_active_found_by_mass_is_measured_through_its_density() -> None:
    typed = {"total": "100 g", "strength": "5 % w/w"}
    found = ask("amount-and-strength", **typed, active_density="1.25")
    assert found.value("active_volume") == Amount(Fraction(4), "mL")
    names = {each.name for each in ask("amount-and-strength", **typed).results}
    assert "active_volume" not in names
