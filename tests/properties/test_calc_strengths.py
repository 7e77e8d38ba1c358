"""Strengths, dilution and alligation: nothing appears, nothing is lost, and there is a way back."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import assume, given
from hypothesis import strategies as st

from formulary.calculating.outcome import Number, Outcome
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import plain_number

percents = st.integers(1, 9999).map(lambda number: Fraction(number, 100))
sizes = st.integers(1, 10**6).map(lambda number: Fraction(number, 100))
densities = st.integers(500, 2000).map(lambda number: Fraction(number, 1000))


def work(name: str, **typed: str) -> Outcome:
    return calculate(calculation_named(name), typed)


def text(number: Fraction, unit: str = "") -> str:
    return f"{plain_number(number)} {unit}".strip()


def listed(numbers: list[Fraction], unit: str = "") -> str:
    return "; ".join(text(number, unit) for number in numbers)


def amount_of(outcome: Outcome, name: str, unit: str) -> Fraction:
    value = outcome.value(name)
    assert isinstance(value, Amount)
    return value.to(unit).number


def number_of(outcome: Outcome, name: str) -> Fraction:
    value = outcome.value(name)
    assert isinstance(value, Number | Concentration)
    return value.number


@given(percents, densities)
def test_a_strength_through_density_and_back_is_the_same(
    percent: Fraction, density: Fraction
) -> None:
    there = work("strength-conversion", strength=text(percent, "% w/w"), density=text(density))
    in_volume = number_of(there, "percent_wv")
    assert in_volume == percent * density
    back = work("strength-conversion", strength=text(in_volume, "% w/v"), density=text(density))
    assert number_of(back, "percent_ww") == percent


@given(percents, sizes)
def test_active_and_whole_lead_to_each_other(percent: Fraction, total: Fraction) -> None:
    strength = text(percent, "% w/w")
    found = work("amount-and-strength", total=text(total, "g"), strength=strength)
    active = amount_of(found, "active", "g")
    back = work("amount-and-strength", active=text(active, "g"), strength=strength)
    assert amount_of(back, "total", "g") == total
    assert amount_of(found, "rest", "g") + active == total


@given(percents, sizes)
def test_the_unit_typed_changes_nothing(percent: Fraction, total: Fraction) -> None:
    strength = text(percent, "% w/v")
    in_ml = work("amount-and-strength", total=text(total, "mL"), strength=strength)
    in_litres = work("amount-and-strength", total=text(total / 1000, "L"), strength=strength)
    assert amount_of(in_ml, "active", "g") == amount_of(in_litres, "active", "g")


@given(percents, percents, sizes)
def test_a_dilution_conserves_the_active_and_can_be_concentrated_again(
    one: Fraction, other: Fraction, total: Fraction
) -> None:
    assume(one != other)
    strong, weak = text(max(one, other), "% w/w"), text(min(one, other), "% w/w")
    made = work("dilution", stock_strength=strong, target_strength=weak, target=text(total, "g"))
    stock = amount_of(made, "stock", "g")
    assert stock * max(one, other) == total * min(one, other)
    assert stock + amount_of(made, "diluent", "g") == total
    back = work(
        "concentrating", stock_strength=weak, target_strength=strong, stock=text(total, "g")
    )
    assert amount_of(back, "total", "g") == stock


@given(st.integers(2, 20), st.integers(1, 5), sizes)
def test_steps_of_a_series_lead_where_their_number_was_found_from(
    factor: int, steps: int, volume: Fraction
) -> None:
    strength = Fraction(100) / factor**steps
    assume(len(plain_number(strength)) < len("0.000000000001"))
    assume(Fraction(plain_number(strength)) == strength)
    found = work(
        "serial-dilution",
        stock_strength="100 % w/v",
        target_strength=text(strength, "% w/v"),
        steps=str(steps),
        volume=text(volume, "mL"),
    )
    assert number_of(found, "factor") == factor
    assert number_of(found, "strength") == strength
    assert amount_of(found, "transfer", "mL") * factor == volume


@given(st.lists(st.tuples(sizes, percents), min_size=1, max_size=6))
def test_a_mixture_conserves_mass_and_active(sources: list[tuple[Fraction, Fraction]]) -> None:
    masses, strengths = [mass for mass, _ in sources], [percent for _, percent in sources]
    mixed = work(
        "mixture-strength", amounts=listed(masses, "g"), strengths=listed(strengths, "% w/w")
    )
    strength, total = number_of(mixed, "strength"), amount_of(mixed, "total", "g")
    assert total == sum(masses)
    assert strength * total == sum(mass * percent for mass, percent in sources)
    assert min(strengths) <= strength <= max(strengths)


@given(st.lists(percents, min_size=2, max_size=8, unique=True), percents, sizes)
def test_alligation_parts_solve_the_balance(
    sources: list[Fraction], target: Fraction, total: Fraction
) -> None:
    assume(min(sources) < target < max(sources))
    found = work(
        "alligation", sources=listed(sources), target_strength=text(target), total=text(total, "g")
    )
    parts = [number_of(found, f"parts_{place}") for place in range(1, len(sources) + 1)]
    pairs = list(zip(parts, sources, strict=True))
    assert sum(part * source for part, source in pairs) == sum(parts) * target
    assert all(part.denominator == 1 and part >= 0 for part in parts)
    amounts = [amount_of(found, f"amount_{place}", "g") for place in range(1, len(sources) + 1)]
    assert sum(amounts) == total


@given(sizes, percents, percents, percents)
def test_what_is_added_brings_the_mixture_to_the_strength_wanted(
    have: Fraction, strength: Fraction, additive: Fraction, target: Fraction
) -> None:
    assume(min(strength, additive) < target < max(strength, additive))
    found = work(
        "adding-to-reach-a-strength",
        amounts=text(have, "g"),
        strengths=text(strength),
        target_strength=text(target),
        additive_strength=text(additive),
    )
    added = amount_of(found, "additive", "g")
    assert added > 0
    assert have * strength + added * additive == (have + added) * target


@given(sizes, percents, percents, percents)
def test_two_adjustable_sources_complete_a_total(
    total: Fraction, one: Fraction, other: Fraction, target: Fraction
) -> None:
    assume(min(one, other) <= target <= max(one, other) and one != other)
    found = work(
        "mixing-to-a-total",
        total=text(total, "g"),
        target_strength=text(target),
        adjustable=listed([one, other]),
    )
    first, second = (amount_of(found, f"amount_{place}", "g") for place in (1, 2))
    assert first + second == total
    assert first * one + second * other == total * target
