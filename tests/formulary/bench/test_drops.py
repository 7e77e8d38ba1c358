"""Drops are counted in groups as they go in, inside the formula's bounds."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.bench.drops import DropCount, add_group, count_said, drops_of
from formulary.bench.events import DropsAdded, LineDecided, StepDone, Surplus, Way
from formulary.catalogue import Catalogue
from formulary.errors import Refusal
from formulary.formula.content import Content
from formulary.signing import Meaning
from tests.formulary.bench.test_fold import refused
from tests.helpers.at_bench import BORIS, a_bench, a_step
from tests.helpers.formulas import a_formula, a_line, amount, scaled

OIL = DropCount(0, "Oil", Fraction(20), Fraction(10), amount("25 mg"))


def with_drops() -> Content:
    """Return a formula with ten drops of an oil, 10 % more or fewer allowed."""
    oil = a_line("Oil", "10 drops", drop=amount("25 mg"), tolerance=Fraction(10))
    base = a_line("Base", "50 g", density=None)
    return a_formula(oil, base, total=amount("50.25 g"), steps=(a_step("Mix"),))


def test_groups_add_up_and_stand_for_their_mass() -> None:
    count = add_group(add_group(OIL, 12), 8)
    assert (count.counted, count.to_come, count.groups) == (20, 0, (12, 8))
    assert count.stands_for == amount("500 mg")


def test_the_bounds_are_whole_drops_inside_the_tolerance() -> None:
    assert (OIL.lowest, OIL.wanted, OIL.highest) == (18, 20, 22)
    few = DropCount(0, "Oil", Fraction(5), Fraction(3))
    assert (few.lowest, few.wanted, few.highest) == (5, 5, 5)
    assert few.stands_for is None


def test_a_half_drop_counts_up_and_what_is_asked_for_is_inside() -> None:
    count = DropCount(0, "Oil", Fraction(5, 2), Fraction(1))
    assert count.lowest <= count.wanted <= count.highest
    assert count.wanted == 3


def test_a_group_of_none_is_refused() -> None:
    with pytest.raises(Refusal):
        add_group(OIL, 0)


@pytest.mark.parametrize("drop", [None, amount("25 mg")])
@pytest.mark.parametrize(
    ("drops", "begins"), [(17, "17 of 20"), (20, "20 of 20"), (23, "23 drops")]
)
def test_the_count_is_said_in_words_and_figures(drops: int, begins: str, drop: object) -> None:
    count = OIL if drop else DropCount(0, "Oil", Fraction(20), Fraction(10))
    assert Catalogue().text(count_said(add_group(count, drops))).startswith(begins)


def test_only_a_line_in_drops_is_counted() -> None:
    lines = scaled(with_drops(), "100.5 g").lines
    count = drops_of(0, lines[0])
    assert count is not None
    assert count.wanted == 20
    assert drops_of(1, lines[1]) is None


def test_drops_are_on_record_as_a_reading_of_their_line() -> None:
    bench = a_bench(with_drops(), "100.5 g").cleared()
    bench.does(DropsAdded(0, 12))
    bench.does(DropsAdded(0, 8))
    assert bench.state.drops[0].groups == (12, 8)
    assert [each.amount for each in bench.state.lines[0].readings] == [
        amount("12 drops"),
        amount("8 drops"),
    ]
    refused(bench, DropsAdded(1, 1), "drops.not_counted")
    bench.weighs(1, "100 g")
    bench.does(StepDone(0))


def test_too_many_drops_stop_the_work_and_can_be_made_good() -> None:
    bench = a_bench(with_drops(), "100.5 g").cleared()
    bench.does(DropsAdded(0, 24))
    assert bench.state.to_decide == (0,)
    good = LineDecided(0, Way.MAKE_GOOD, "Slipped", Fraction(6, 5), Surplus.EXTRA_JAR)
    bench.does(good, BORIS, Meaning.DECIDED)
    assert (bench.state.drops[0].wanted, bench.state.drops[0].is_inside) == (24, True)
