"""Control limits of single values: mean and moving range."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from formulary.register.control import FACTOR, LEAST_VALUES, control_limits, outside

VALUES = st.lists(st.fractions(-1000, 1000, max_denominator=50), min_size=LEAST_VALUES)


def test_the_limits_are_the_mean_and_266_mean_moving_ranges() -> None:
    # Neighbours are 2 apart throughout: the mean is 99, the limits 99 -+ 5.32.
    found = control_limits([Fraction(98 + 2 * (place % 2)) for place in range(8)])
    assert found is not None
    assert (found.lower, found.centre, found.upper) == (
        Fraction("93.68"),
        Fraction(99),
        Fraction("104.32"),
    )
    assert found.provisional


def test_from_twenty_values_on_the_limits_are_no_longer_provisional() -> None:
    found = control_limits([Fraction(place % 3) for place in range(20)])
    assert found is not None
    assert not found.provisional


@given(st.lists(st.fractions(), max_size=LEAST_VALUES - 1))
def test_too_few_values_say_nothing(values: list[Fraction]) -> None:
    assert control_limits(values) is None
    assert outside(values, None) == ()


@given(VALUES, st.fractions(-50, 50, max_denominator=20))
def test_a_shift_of_all_values_shifts_the_limits(values: list[Fraction], shift: Fraction) -> None:
    found, moved = control_limits(values), control_limits([each + shift for each in values])
    assert found is not None
    assert moved is not None
    assert moved.centre == found.centre + shift
    assert moved.upper - moved.lower == found.upper - found.lower


@given(VALUES)
def test_the_limits_lie_alike_on_both_sides(values: list[Fraction]) -> None:
    found = control_limits(values)
    assert found is not None
    assert found.centre - found.lower == found.upper - found.centre
    assert found.upper - found.centre <= FACTOR * (max(values) - min(values))


def test_one_batch_far_off_is_the_one_outside() -> None:
    values = [Fraction(99), Fraction(100)] * 8
    values[11] = Fraction(80)
    assert outside(values, control_limits(values)) == (11,)
