"""Inverse sums return: a trial finds the displacement a batch was planned with, a buffer its pH."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from formulary.calculating.outcome import Number
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.money import Money
from formulary.quantity.writing import plain_money, plain_number

hundredths = st.integers(min_value=1, max_value=500).map(lambda n: Fraction(n, 100))
near = Fraction(1, 10**9)


def figure(name: str, result: str, **typed: str) -> Fraction:
    value = calculate(calculation_named(name), typed).value(result)
    assert isinstance(value, Amount | Concentration | Number)
    return (
        value.to("g").number if isinstance(value, Amount) and value.unit == "mg" else value.number
    )


@given(
    units=st.integers(min_value=1, max_value=60),
    dose=st.integers(min_value=1, max_value=400),
    value=hundredths.filter(lambda v: v > Fraction(1, 2)),
)
def test_a_trial_finds_the_displacement_that_the_batch_was_planned_with(
    units: int, dose: int, value: Fraction
) -> None:
    typed = {"mould": "2 g", "doses": f"{dose} mg", "displacement_values": plain_number(value)}
    planned = calculate(calculation_named("suppositories"), {"ordered": str(units), **typed})
    total = planned.value("total")
    assert isinstance(total, Amount)
    plain_base = Amount(Fraction(2 * units), "g")
    drug = Amount(Fraction(dose * units, 1000), "g")
    displaced = plain_base - (total - drug)
    assert drug / displaced == value


@given(ratio=hundredths.filter(lambda r: r <= 2), value=hundredths.filter(lambda v: v > 1))
def test_a_heavier_base_is_heavier_in_the_units_and_in_what_is_displaced(
    ratio: Fraction, value: Fraction
) -> None:
    typed = {"ordered": "10", "mould": "2 g", "doses": "0.5 g"}
    typed["displacement_values"] = plain_number(value)
    plain = figure("suppositories", "base", **typed)
    heavier = figure("suppositories", "base", base_ratio=plain_number(ratio), **typed)
    assert heavier == plain * ratio


@given(capacity=st.integers(min_value=1, max_value=200), ph=st.integers(min_value=38, max_value=57))
def test_a_buffer_made_for_a_capacity_has_it(capacity: int, ph: int) -> None:
    wanted = Fraction(capacity, 1000)
    typed = {"ph": plain_number(Fraction(ph, 10)), "pka": "4.76"}
    both = figure("buffer-capacity", "concentration", wanted=plain_number(wanted), **typed)
    found = figure("buffer-capacity", "capacity", concentration=plain_number(both), **typed)
    assert abs(found / wanted - 1) < near


@given(ph=st.integers(min_value=60, max_value=84), at_hand=st.integers(min_value=1, max_value=500))
def test_the_other_form_of_a_buffer_brings_it_to_its_ph(ph: int, at_hand: int) -> None:
    wanted = Fraction(ph, 10)
    acid = f"{at_hand} mmol"
    base = figure("buffer-partner", "amount", ph=plain_number(wanted), pka="7.2", acid=acid)
    found = figure("buffer-ph", "ph", pka="7.2", acid=acid, base=f"{plain_number(base)} mmol")
    assert abs(found - wanted) < near


@given(cents=st.integers(min_value=0, max_value=10**9))
def test_a_price_on_the_wire_is_the_price(cents: int) -> None:
    money = Money(Fraction(cents, 100), "EUR")
    assert Fraction(plain_money(money)) == money.number
    assert len(plain_money(money).partition(".")[2]) == money.minor_units
