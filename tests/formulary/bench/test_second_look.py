"""A second person looks afresh: what differs is refused with a sentence, and stays on record."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.bench.events import (
    LineChecked,
    LineDecided,
    LineWeighed,
    PlanChecked,
    Planned,
    StepDone,
    Way,
)
from formulary.bench.rules_deciding import open_ways
from formulary.bench.stages import Stage
from formulary.bench.to_do import CheckLine, DecideLine, to_do
from formulary.bench.weighing import is_finished
from formulary.catalogue import Catalogue
from formulary.errors import Refusal
from formulary.quantity.amount import Amount
from formulary.signing import Meaning
from tests.helpers.at_bench import ANNA, BORIS, CLARA, Bench, a_bench, reading
from tests.helpers.formulas import amount


@pytest.fixture
def weighed() -> Bench:
    """Return a bench whose first line waits for its second look."""
    bench = a_bench(needs_check=(0,)).cleared()
    bench.weighs(0, "20 g")
    return bench


def look(bench: Bench, seen: str, container: str = "100") -> None:
    """Let Boris look at the first line."""
    bench.does(LineChecked(0, container, amount(seen)), BORIS, Meaning.CHECKED)


@pytest.mark.parametrize(
    ("seen", "container"), [("20.5 g", "100"), ("20 g", "101"), ("20 mL", "100")]
)
def test_whoever_saw_something_else_leaves_the_line_unchecked_and_it_stays_on_record(
    weighed: Bench, seen: str, container: str
) -> None:
    look(weighed, seen, container)
    line = weighed.state.lines[0]
    assert not is_finished(line)
    assert line.disputed is not None
    (deviation,) = weighed.state.open_deviations
    said = Catalogue().text(deviation.what)
    assert (container if container != "100" else Catalogue().written(amount(seen))) in said
    assert to_do(weighed.state, weighed.now)[:2] == (CheckLine(0), DecideLine(0))
    with pytest.raises(Refusal):
        weighed.does(StepDone(0))


def test_the_sentence_gives_no_figure_away(weighed: Bench) -> None:
    look(weighed, "20.5 g")
    disputed = weighed.state.lines[0].disputed
    assert disputed is not None
    assert "20" not in Catalogue().text(disputed)


def test_another_look_that_agrees_settles_it_and_what_differed_is_still_to_be_decided(
    weighed: Bench,
) -> None:
    look(weighed, "20.5 g")
    weighed.does(LineChecked(0, "100", amount("20 g")), CLARA, Meaning.CHECKED)
    assert is_finished(weighed.state.lines[0])
    assert len(weighed.state.open_deviations) == 1


def test_if_no_look_settles_it_the_line_is_weighed_again(weighed: Bench) -> None:
    look(weighed, "25 g")
    assert [each.way for each in open_ways(weighed.state, 0)] == [Way.WASTE, Way.DISCARD]
    weighed.does(LineDecided(0, Way.WASTE, "Nobody knows"), BORIS, Meaning.DECIDED)
    assert to_do(weighed.state, weighed.now)[0] == DecideLine(0)


@given(st.integers(-5, 5))
def test_the_last_digit_of_the_balance_may_differ_and_no_more(steps: int) -> None:
    bench = a_bench(needs_check=(0,)).cleared()
    bench.weighs(0, "20 g")
    seen = Amount(Fraction(20) + Fraction(steps, 100), "g")
    bench.does(LineChecked(0, "100", seen), BORIS, Meaning.CHECKED)
    assert is_finished(bench.state.lines[0]) == (abs(steps) <= 1)


def test_of_several_containers_each_is_named() -> None:
    bench = a_bench(needs_check=(0,)).cleared()
    bench.weighs(0, "15 g")
    bench.does(LineWeighed(0, replace(reading("5 g"), container="200", lot="L2")))
    bench.does(LineChecked(0, "100", amount("20 g")), BORIS, Meaning.CHECKED)
    assert bench.state.lines[0].disputed is not None
    bench.does(LineChecked(0, "200", amount("20 g"), ("100",)), BORIS, Meaning.CHECKED)
    assert is_finished(bench.state.lines[0])


def test_a_plan_is_checked_by_figures_worked_out_without_seeing_its_own() -> None:
    bench = a_bench()
    bench.does(Planned("100 g"))
    wrong = PlanChecked(figures=(amount("20 g"), amount("70 g"), amount("1 g")))
    bench.does(wrong, BORIS, Meaning.CHECKED)
    assert bench.state.stage is Stage.PLANNED
    (told,) = bench.state.plan_doubts
    assert "10" not in Catalogue().text(told)
    (deviation,) = bench.state.open_deviations
    assert "1 g" in Catalogue().text(deviation.what).replace("\N{NO-BREAK SPACE}", " ")
    right = PlanChecked(figures=(amount("20 g"), amount("70 g"), amount("10 g")))
    after = bench.does(right, BORIS, Meaning.CHECKED)
    assert (after.stage, after.plan_doubts) == (Stage.PLAN_CHECKED, ())


def test_a_blind_check_has_a_figure_for_every_line() -> None:
    bench = a_bench()
    bench.does(Planned("100 g"))
    for figures in ((amount("20 g"),), (amount("20 g"), amount("70 g"), None)):
        with pytest.raises(Refusal, match="figure"):
            bench.does(PlanChecked(figures=figures), BORIS, Meaning.CHECKED)
    assert bench.state.stage is Stage.PLANNED
    assert ANNA[0] == bench.state.planner
