"""Ethanol: mass is conserved, inverses return, more ethanol is lighter and stronger."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import assume, given
from hypothesis import strategies as st

from formulary.calculating.ethanol_water import (
    density,
    mass_fraction_of_density,
    mass_fraction_of_volume,
    volume_fraction,
)
from formulary.calculations.ethanol import Conditions, Dilution, for_total, from_stock
from formulary.quantity.amount import Amount

CLOSE = Fraction(1, 10**12)
fractions = st.integers(0, 1000).map(lambda number: Fraction(number, 1000))
temperatures = st.integers(-200, 400).map(lambda number: Fraction(number, 10))
scales = st.sampled_from((Fraction(20), Fraction(15), Fraction("15.56")))
amounts = st.builds(
    Amount,
    st.integers(1, 10**6).map(lambda number: Fraction(number, 100)),
    st.sampled_from(("mL", "L", "g", "mg")),
)
conditions = st.builds(Conditions, temperatures, scales)


def three(draw: st.DrawFn) -> tuple[Fraction, Fraction, Fraction]:
    """Return a weak, a middle and a strong ethanol."""
    weak, middle, strong = sorted(draw(st.lists(fractions, min_size=3, max_size=3, unique=True)))
    return weak, middle, strong


@st.composite
def dilutions(draw: st.DrawFn) -> tuple[Dilution, Conditions]:
    weak, target, strong = three(draw)
    at = draw(conditions)
    return for_total(at.weighed(target, draw(amounts)), strong, weak, at), at


@given(dilutions())
def test_masses_and_ethanol_are_conserved_exactly(made: tuple[Dilution, Conditions]) -> None:
    found, _ = made
    parts = (found.stock, found.diluent)
    assert sum((part.mass.number for part in parts), Fraction(0)) == found.total.mass.number
    pure = sum((part.mass.number * part.fraction for part in parts), Fraction(0))
    assert pure == found.total.mass.number * found.total.fraction


@given(dilutions())
def test_what_a_total_takes_makes_that_total(made: tuple[Dilution, Conditions]) -> None:
    found, at = made
    back = from_stock(found.stock, found.total.fraction, found.diluent.fraction, at)
    assert back.total.mass == found.total.mass
    assert back.diluent.mass == found.diluent.mass


@given(dilutions(), st.sampled_from((2, 3, 10)))
def test_twice_the_amount_takes_twice_of_everything(
    made: tuple[Dilution, Conditions], times: int
) -> None:
    found, at = made
    more = at.weighed(found.total.fraction, found.total.mass * times)
    bigger = for_total(more, found.stock.fraction, found.diluent.fraction, at)
    assert bigger.stock.mass == found.stock.mass * times
    assert bigger.contraction == found.contraction * times


@given(fractions, temperatures)
def test_strength_by_mass_returns_from_density_and_from_volume(
    fraction: Fraction, temperature: Fraction
) -> None:
    by_density = mass_fraction_of_density(density(fraction, temperature), temperature)
    by_volume = mass_fraction_of_volume(volume_fraction(fraction, temperature), temperature)
    assert abs(by_density - fraction) < CLOSE
    assert abs(by_volume - fraction) < CLOSE


@given(fractions, fractions, temperatures)
def test_more_ethanol_is_lighter_and_has_more_of_it_in_a_volume(
    one: Fraction, other: Fraction, temperature: Fraction
) -> None:
    assume(one < other)
    assert density(one, temperature) > density(other, temperature)
    assert volume_fraction(one, temperature) < volume_fraction(other, temperature)


@given(fractions, st.integers(5, 39).map(Fraction))
def test_warmth_makes_it_lighter(fraction: Fraction, temperature: Fraction) -> None:
    # Below 4 °C water itself is denser when warmer.
    assert density(fraction, temperature) > density(fraction, temperature + 1)


@given(st.integers(60, 100), st.integers(20, 99))
def test_strong_ethanol_and_water_contract_at_room_temperature(strong: int, less: int) -> None:
    # Very weak ethanol gains a little when it is diluted, and handbook densities say so too.
    assume(less < strong)
    at = Conditions(Fraction(20), Fraction(20))
    total = at.weighed(Fraction(less, 100), Amount(Fraction(1000), "mL"))
    assert for_total(total, Fraction(strong, 100), Fraction(0), at).contraction.number > 0
