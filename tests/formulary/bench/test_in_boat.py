"""Whether the boat of a line still stands on the balance decides what the balance shows."""

from __future__ import annotations

from formulary.bench.events import ContainerStaged, VesselTared
from formulary.bench.in_boat import on_the_balance
from tests.helpers.at_bench import a_bench
from tests.helpers.formulas import amount


def test_a_boat_stays_on_the_balance_while_its_line_is_weighed() -> None:
    bench = a_bench().cleared()
    assert on_the_balance(bench.state, 0) is None
    bench.weighs(0, "15 g")
    assert on_the_balance(bench.state, 0) == amount("15 g")
    bench.does(ContainerStaged(0, "B-2"))
    assert on_the_balance(bench.state, 0) == amount("15 g")


def test_after_another_line_the_balance_is_zeroed_anew() -> None:
    bench = a_bench().cleared()
    bench.weighs(0, "15 g")
    bench.weighs(1, "70 g")
    assert on_the_balance(bench.state, 0) is None


def test_what_goes_into_a_vessel_is_weighed_part_by_part() -> None:
    bench = a_bench().cleared()
    bench.does(VesselTared("Jar", amount("250 g")))
    bench.weighs(0, "15 g", vessel="Jar")
    assert on_the_balance(bench.state, 0) is None
