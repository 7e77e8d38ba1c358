"""Confirmations given faster than anybody can look are counted."""

from __future__ import annotations

from datetime import timedelta

from formulary.bench.events import LineWeighed, StepDone
from formulary.bench.rushed import rushed
from tests.helpers.at_bench import a_bench, reading


def test_confirmations_within_two_seconds_are_counted() -> None:
    bench = a_bench().cleared()
    bench.does(LineWeighed(0, reading("20 g")))
    assert rushed(bench.followed) == ()
    bench.now = bench.followed[-1].at + timedelta(seconds=1)
    bench.does(StepDone(0))
    (hasty,) = rushed(bench.followed)
    assert isinstance(hasty.event, StepDone)


def test_a_weighing_is_no_confirmation() -> None:
    bench = a_bench().cleared()
    bench.now = bench.followed[-1].at
    bench.does(LineWeighed(0, reading("20 g")))
    assert rushed(bench.followed) == ()
