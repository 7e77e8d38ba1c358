"""Lines used as needed: added until the end point, found and said, and counted in the whole."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.bench.events import EndReached, StepDone
from formulary.bench.to_do import DoStep, WeighLine, to_do
from formulary.bench.true_strength import growth, true_strengths
from formulary.bench.weighing import is_finished
from formulary.errors import Refusal
from formulary.formula.content import Content, Line, Role
from formulary.formula.kinds import ToEndPoint
from tests.helpers.at_bench import Bench, a_bench, a_step
from tests.helpers.formulas import a_formula, active


def content() -> Content:
    """Return a gel that an acid brings to its pH."""
    return a_formula(
        active("Urea", "10 g"),
        active("Gel", "90 g"),
        Line("Acid", ToEndPoint("pH 5.5"), Role.PH_ADJUSTER),
        steps=(a_step("Mix and adjust"),),
    )


@pytest.fixture
def bench() -> Bench:
    """Return a bench where only the acid is still to come."""
    made = a_bench(content()).cleared()
    made.weighs(0, "10 g")
    made.weighs(1, "90 g")
    return made


def test_more_goes_in_until_the_end_point_is_said(bench: Bench) -> None:
    assert to_do(bench.state, bench.now) == (WeighLine(2),)
    bench.weighs(2, "1 g")
    assert to_do(bench.state, bench.now) == (DoStep(0), WeighLine(2))
    bench.weighs(2, "1 g")
    bench.does(EndReached(2, "pH 5.5"))
    assert to_do(bench.state, bench.now) == (DoStep(0),)
    with pytest.raises(Refusal, match="already_ended"):
        bench.weighs(2, "1 g")
    bench.does(StepDone(0))


def test_nothing_at_all_may_be_needed(bench: Bench) -> None:
    with pytest.raises(Refusal, match="end_unsaid"):
        bench.does(EndReached(2, " "))
    bench.does(EndReached(2, "pH 5.4 already"))
    assert is_finished(bench.state.lines[2])
    bench.does(StepDone(0))


def test_a_line_with_an_amount_has_no_end_point(bench: Bench) -> None:
    with pytest.raises(Refusal, match="has_target"):
        bench.does(EndReached(0, "enough"))


def test_what_went_in_thins_the_strength(bench: Bench) -> None:
    bench.weighs(2, "2 g")
    state = bench.state
    assert growth(state.job.plan, state.lines) == Fraction(102, 100)
    (urea, _) = true_strengths(state.job.plan, state.lines, state.job.reads)
    assert urea.percent == Fraction(10000, 102)
