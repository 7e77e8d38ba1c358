"""The bench says what is next, and what else could be done meanwhile."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction

from formulary.bench.events import (
    BenchCleared,
    ContainersFilled,
    Held,
    Interrupted,
    LabelsPrinted,
    LabelsReconciled,
    LineDecided,
    PlanChecked,
    Planned,
    QualityTested,
    Released,
    SentForRelease,
    StepDone,
    Surplus,
    TimerStarted,
    VesselTared,
    Way,
    YieldTaken,
)
from formulary.bench.rules_deciding import open_ways
from formulary.bench.to_do import (
    CheckLine,
    CheckPlan,
    ClearBench,
    Continue,
    CountDrops,
    DecideLine,
    DoStep,
    DoTest,
    FillContainers,
    HandOver,
    JoinPhases,
    LiftHold,
    PrintLabels,
    ReconcileLabels,
    Release,
    SendForRelease,
    TakeYield,
    TareVessel,
    Task,
    WeighLine,
    phase_vessel,
    to_do,
)
from formulary.formula.content import QualityTest
from formulary.signing import Meaning
from tests.helpers.at_bench import BORIS, Bench, a_bench, a_cream, a_step
from tests.helpers.formulas import a_formula, a_line, amount


def tasks(bench: Bench) -> tuple[Task, ...]:
    """Return what can be done now."""
    return to_do(bench.state, bench.now)


def test_the_plan_is_checked_before_the_bench_is_cleared() -> None:
    bench = a_bench()
    bench.does(Planned("100 g"))
    assert tasks(bench) == (CheckPlan(),)
    bench.does(PlanChecked(), BORIS, Meaning.CHECKED)
    assert tasks(bench) == (ClearBench(),)
    bench.does(BenchCleared())
    assert tasks(bench)[0] == TareVessel("A")


def test_each_lane_that_may_begin_is_offered() -> None:
    bench = a_bench().cleared()
    assert tasks(bench) == (
        TareVessel("A"),
        WeighLine(0),
        TareVessel("B"),
        WeighLine(1),
        TareVessel("C"),
        WeighLine(2),
    )


def test_a_vessel_is_remembered_for_its_phase_and_not_asked_for_again() -> None:
    bench = a_bench().cleared()
    bench.does(VesselTared("Beaker 2", amount("250 g"), phase="A"))
    assert phase_vessel(bench.state, "A") == "Beaker 2"
    assert phase_vessel(bench.state, "B") == ""
    assert tasks(bench)[0] == WeighLine(0)


def test_whoever_weighs_without_a_vessel_isnt_asked_for_one() -> None:
    bench = a_bench(a_formula(a_line("Wax", "50 g"), a_line("Oil", "50 g"))).cleared()
    assert tasks(bench) == (WeighLine(0), WeighLine(1))


def test_a_line_too_low_stays_the_next_thing_and_one_too_high_stops_all() -> None:
    bench = a_bench().cleared()
    bench.weighs(0, "10 g")
    assert tasks(bench)[0] == WeighLine(0)
    bench.weighs(0, "20 g")
    assert tasks(bench) == (DecideLine(0),)


def test_a_line_that_must_be_checked_is_checked_before_its_step_is_done() -> None:
    bench = a_bench(needs_check=[0]).cleared()
    bench.weighs(0, "20 g")
    assert tasks(bench)[0] == CheckLine(0)


def test_a_step_comes_after_its_lines_and_a_join_before_its_step() -> None:
    bench = a_bench().cleared()
    bench.weighs(0, "20 g")
    assert tasks(bench)[0] == DoStep(0)
    assert JoinPhases(2) not in tasks(bench)
    bench = a_bench().melted()
    assert tasks(bench)[:2] == (JoinPhases(2), DoStep(2))


def test_while_a_steps_timer_runs_the_other_lane_comes_first() -> None:
    bench = a_bench().cleared()
    bench.weighs(0, "20 g")
    bench.does(TimerStarted("Melt", Fraction(30), 0))
    assert tasks(bench)[0] == TareVessel("B")
    assert DoStep(0) in tasks(bench)
    bench.now += timedelta(minutes=30)
    assert tasks(bench)[0] == DoStep(0)


def test_a_batch_made_good_opens_lines_of_steps_done() -> None:
    bench = a_bench().melted()
    bench.weighs(2, "11 g")
    factor = next(way.factor for way in open_ways(bench.state, 2) if way.way is Way.MAKE_GOOD)
    decided = LineDecided(2, Way.MAKE_GOOD, "no more urea", factor, Surplus.WASTE)
    bench.does(decided, BORIS, Meaning.DECIDED)
    assert tasks(bench)[:2] == (WeighLine(0), WeighLine(1))


def test_what_goes_in_by_and_by_may_begin_before_the_step_that_needs_it() -> None:
    content = a_formula(
        a_line("Salt", "5 g"),
        a_line("Water", "ad 100 mL"),
        steps=(a_step("Dissolve"), a_step("Make up")),
    )
    bench = a_bench(content, "100 mL").cleared()
    assert tasks(bench)[-1] == WeighLine(1)
    assert tasks(bench)[1] == WeighLine(0)


def test_drops_are_counted_not_weighed() -> None:
    bench = a_bench(
        a_formula(a_line("Oil", "50 g"), a_line("Scent", "5 drops", drop=amount("0.05 g")))
    ).cleared()
    assert CountDrops(1) in tasks(bench)


def test_goods_go_from_yield_to_hand_over() -> None:
    content = a_cream(tests=(QualityTest("pH", "5 to 6"),))
    bench = a_bench(content).made()
    assert tasks(bench) == (TakeYield(), DoTest("pH"))
    bench.does(YieldTaken(amount("98 g"), inside=True))
    assert tasks(bench) == (DoTest("pH"), FillContainers())
    bench.does(ContainersFilled((amount("48 g"), amount("48 g"))))
    assert tasks(bench) == (DoTest("pH"), PrintLabels())
    bench.does(QualityTested("pH", "5.5", passed=True))
    bench.does(LabelsPrinted((1,)))
    assert tasks(bench) == (PrintLabels(),)
    bench.does(LabelsPrinted((2,)))
    assert tasks(bench) == (ReconcileLabels(),)
    bench.does(LabelsReconciled(2, 0, 0))
    assert tasks(bench) == (SendForRelease(),)
    bench.does(SentForRelease())
    assert tasks(bench) == (Release(),)
    bench.does(Released(), BORIS, Meaning.RELEASED)
    assert tasks(bench) == (HandOver(1), HandOver(2))
    bench.hands_over(1)
    assert tasks(bench) == (HandOver(2),)
    bench.hands_over(2)
    assert tasks(bench) == ()


def test_a_step_done_makes_room_for_the_next() -> None:
    bench = a_bench().melted()
    assert DoStep(0) not in tasks(bench)
    bench = a_bench().joined()
    assert tasks(bench)[0] == DoStep(3)
    bench.does(StepDone(3))
    assert tasks(bench)[0] == TareVessel("C")


def test_a_hold_or_an_interruption_is_all_there_is() -> None:
    bench = a_bench().cleared()
    bench.does(Interrupted())
    assert tasks(bench) == (Continue(),)
    bench.does(Held("asked the prescriber"))
    assert tasks(bench) == (LiftHold(),)
