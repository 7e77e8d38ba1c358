"""Timers run on whatever happens, from the moment they were started."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

import pytest

from formulary.bench.timers import Minutes, Timer, as_time, minutes_of
from formulary.formula.content import MethodStep
from tests.helpers.at_bench import NINE

MELTING = Timer(1, "Melting", NINE, Fraction(10))


def test_what_remains_falls_with_the_clock_and_goes_below_nothing() -> None:
    assert MELTING.remaining(NINE + timedelta(minutes=4)) == timedelta(minutes=6)
    assert MELTING.remaining(NINE + timedelta(minutes=12)) == timedelta(minutes=-2)


def test_time_is_up_at_the_very_moment() -> None:
    assert not MELTING.is_up(NINE + timedelta(minutes=9, seconds=59))
    assert MELTING.is_up(MELTING.ends_at)


def test_a_stopped_timer_stands_still() -> None:
    stopped = replace(MELTING, stopped_at=NINE + timedelta(minutes=3))
    assert not stopped.is_running
    assert stopped.elapsed(NINE + timedelta(hours=1)) == timedelta(minutes=3)
    assert stopped.elapsed(NINE + timedelta(minutes=1)) == timedelta(minutes=1)


def test_minutes_that_no_microsecond_hits_are_never_cut_short() -> None:
    assert as_time(Fraction(1, 7)) == timedelta(microseconds=8571429)


@pytest.mark.parametrize(
    ("time", "minutes"),
    [
        ("10 min", Minutes(Fraction(10))),
        ("30 to 40 min", Minutes(Fraction(30), Fraction(40))),
        ("2 h", Minutes(Fraction(120))),
        ("1.5 h", Minutes(Fraction(90))),
        ("overnight", None),
        ("", None),
    ],
)
def test_a_steps_time_is_read_where_it_is_plain(time: str, minutes: Minutes | None) -> None:
    assert minutes_of(MethodStep("Stir", time=time)) == minutes


def test_a_steps_own_timer_wins_over_its_words() -> None:
    step = MethodStep("Stir", time="10 min", minutes=Fraction(5))
    assert minutes_of(step) == Minutes(Fraction(5))
