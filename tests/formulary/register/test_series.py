"""The figures of a formula's preparations over time."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

from formulary.bench.events import Cancelled, Rejected
from formulary.register.series import Figure, Measure, figures_of, series_of
from formulary.signing import Meaning
from tests.helpers.at_bench import BORIS, Bench, a_bench

MADE_ON = date(2026, 3, 2)


def figures(bench: Bench) -> dict[tuple[Measure, str], Fraction]:
    found = figures_of("K26-00001", MADE_ON, bench.state, bench.followed)
    return {(each.measure, each.of): each.value for each in found}


def test_a_packed_preparation_gives_yield_weighing_strength_and_time() -> None:
    found = figures(a_bench().packed())
    assert found[Measure.YIELD, ""] == 98
    assert found[Measure.WEIGHING, ""] == 0
    assert found[Measure.STRENGTH, "Urea"] == 100
    # One minute for each event from the cleared bench to the filled jars.
    assert found[Measure.TIME, ""] == 14


def test_what_is_still_being_made_gives_no_figures() -> None:
    assert figures(a_bench().made()) == {}


def test_a_rejected_preparation_counts_and_a_cancelled_one_does_not() -> None:
    rejected = a_bench().packed()
    rejected.does(Rejected("lumpy", "destroyed"), BORIS, Meaning.REJECTED)
    assert Measure.YIELD in {measure for measure, _ in figures(rejected)}
    cancelled = a_bench().packed()
    cancelled.does(Cancelled("order withdrawn", "destroyed"), BORIS)
    assert figures(cancelled) == {}


def test_the_furthest_weighing_is_told_with_its_sign() -> None:
    bench = a_bench().packed()
    light = a_bench().cleared()
    light.weighs(0, "19.8 g")
    lines = (light.state.lines[0], *bench.state.lines[1:])
    bench.state = replace(bench.state, lines=lines)
    assert figures(bench)[Measure.WEIGHING, ""] == -1


def a_figure(number: int, value: Fraction, measure: Measure = Measure.YIELD) -> Figure:
    return Figure(f"K26-{number:05d}", MADE_ON + timedelta(days=number), measure, value)


def test_series_are_in_the_order_of_days_and_measures() -> None:
    found = series_of(
        [
            a_figure(3, Fraction(40), Measure.TIME),
            a_figure(2, Fraction(99)),
            a_figure(1, Fraction(98)),
        ]
    )
    assert [each.measure for each in found] == [Measure.YIELD, Measure.TIME]
    assert [each.value for each in found[0].figures] == [98, 99]
    assert found[0].limits is None


def test_a_series_names_the_batches_outside_its_limits() -> None:
    values = [Fraction(99), Fraction(100)] * 8
    values[11] = Fraction(80)
    (found,) = series_of(a_figure(number, value) for number, value in enumerate(values))
    assert [each.lot for each in found.outside] == ["K26-00011"]
