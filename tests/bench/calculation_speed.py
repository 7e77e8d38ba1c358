"""The slowest of the calculations, beside reading its inputs; and the trituration planner."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from formulary.calculating.describing import Calculation
from formulary.calculating.reading import calculate, read_inputs
from formulary.calculating.registry import calculation_named, every_calculation
from formulary.calculations.trituration import trituration_plan
from formulary.house import Balance
from formulary.quantity.amount import Amount
from tests.bench.measuring import Figure, median_time

REPEATS = 20
PLANNERS = ("trituration-plan", "stock-solution-plan")


def _time(calculation: Calculation) -> float:
    example = dict(calculation.examples)

    def work() -> None:
        for _ in range(REPEATS):
            calculate(calculation, example)

    return median_time(work, runs=5) / REPEATS


def _floor(calculation: Calculation) -> float:
    example = dict(calculation.examples)

    def work() -> None:
        for _ in range(REPEATS):
            read_inputs(calculation, example)

    return median_time(work, runs=5) / REPEATS


def _balances() -> list[Balance]:
    """Return ten balances, each a little coarser and larger than the one before."""
    return [
        Balance(
            f"balance {i}",
            Amount(Fraction(100 * i), "g"),
            Amount(Fraction(i, 1000), "g"),
            Amount(Fraction(i, 10), "g"),
        )
        for i in range(1, 11)
    ]


def figures() -> Iterable[Figure]:
    """Yield the slowest calculation and the planner over ten balances."""
    sums = [each for each in every_calculation() if each.name not in PLANNERS]
    times = {each.name: _time(each) for each in sums}
    slowest = max(times, key=lambda name: times[name])
    floor = _floor(calculation_named(slowest))
    name = f"slowest calculation ({slowest})"
    yield Figure(name, "ms", times[slowest], floor, "under 1 ms")
    balances, needed = _balances(), Amount(Fraction(7), "mg")
    planner = median_time(lambda: trituration_plan(needed, balances), runs=9)
    yield Figure("trituration planned over 10 balances", "ms", planner, floor, "under 20 ms")
