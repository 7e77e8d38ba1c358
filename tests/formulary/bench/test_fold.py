"""A preparation follows its events, and refuses what isn't allowed now."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

import pytest

from formulary.bench.events import (
    BenchCleared,
    Cancelled,
    Category,
    ContainersFilled,
    ContainerStaged,
    Continued,
    Corrected,
    DeviationDecided,
    DeviationOpened,
    Event,
    HandedOver,
    Held,
    HoldLifted,
    Interrupted,
    LabelsPrinted,
    LabelsReconciled,
    LabelsVoided,
    LineChecked,
    LineDecided,
    LineTransferred,
    LineWeighed,
    Moved,
    PlanChecked,
    Planned,
    QualityTested,
    Recipient,
    Recorded,
    Rejected,
    Released,
    SelfChecked,
    SentForRelease,
    StepDone,
    SteppedBack,
    Surplus,
    TimerStarted,
    TimerStopped,
    Transcribed,
    VesselTared,
    VesselWeighed,
    WaterRestored,
    Way,
    YieldTaken,
)
from formulary.bench.fold import follow
from formulary.bench.reading import Taking
from formulary.bench.rules_deciding import open_ways
from formulary.bench.stages import Stage
from formulary.bench.weighing import Standing, standing
from formulary.catalogue import Catalogue
from formulary.errors import Forbidden, Refusal
from formulary.formula.content import QualityTest
from formulary.quantity.amount import Amount
from formulary.signing import Meaning, Signature
from tests.helpers.at_bench import (
    ANNA,
    BORIS,
    CLARA,
    NINE,
    Bench,
    Who,
    a_bench,
    a_cream,
    a_step,
    reading,
)
from tests.helpers.formulas import a_formula, a_line, active, amount, density


def refused(
    bench: Bench,
    event: Event,
    key: str,
    who: Who = ANNA,
    meaning: Meaning | None = None,
) -> None:
    """Expect a refusal with this sentence, and nothing changed."""
    before = bench.state
    with pytest.raises(Refusal) as refusal:
        bench.does(event, who, meaning)
    assert refusal.value.message.key == f"bench.{key}"
    assert Catalogue().text(refusal.value.message)
    assert bench.state is before


def test_a_jar_goes_all_the_way_from_order_to_ward() -> None:
    bench = a_bench().released()
    assert bench.hands_over(1).stage is Stage.RELEASED
    assert bench.hands_over(2).stage is Stage.HANDED_OVER
    assert bench.state.makers == ("anna",)


def test_an_entry_out_of_its_number_is_refused() -> None:
    state = a_bench().state
    recorded = Recorded(2, NINE, *ANNA, Planned("100 g"))
    with pytest.raises(Refusal):
        follow(state, recorded)


def test_nobody_enters_something_under_another_persons_signature() -> None:
    bench = a_bench()
    bench.does(Planned("100 g"))
    foreign = Signature("clara", "Clara", "pharmacist", Meaning.CHECKED, NINE)
    with pytest.raises(Forbidden):
        follow(bench.state, Recorded(2, NINE, *BORIS, PlanChecked(), foreign))


def test_the_plan_is_checked_by_another_person_who_signs() -> None:
    bench = a_bench()
    bench.does(Planned("100 g"))
    refused(bench, PlanChecked(), "not_signed", BORIS)
    refused(bench, PlanChecked(), "plan.same_person", ANNA, Meaning.CHECKED)
    assert bench.does(PlanChecked(), BORIS, Meaning.CHECKED).exemptions == ()


def test_who_works_alone_leaves_an_exemption_and_looks_again_later() -> None:
    bench = a_bench()
    bench.does(Planned("100 g"), BORIS)
    state = bench.does(PlanChecked(), BORIS, Meaning.CHECKED, alone="Saturday duty")
    (exemption,) = state.exemptions
    assert (exemption.because, exemption.checked_at) == ("Saturday duty", None)
    refused(bench, SelfChecked(2), "self_check.too_soon", BORIS, Meaning.SELF_CHECKED)
    bench.now += timedelta(minutes=15)
    refused(bench, SelfChecked(2), "self_check.other_person", CLARA, Meaning.SELF_CHECKED)
    looked = bench.does(SelfChecked(2), BORIS, Meaning.SELF_CHECKED)
    assert looked.exemptions[0].checked_at is not None
    refused(bench, SelfChecked(2), "self_check.nothing", BORIS, Meaning.SELF_CHECKED)


def test_every_item_of_the_bench_is_ticked() -> None:
    bench = a_bench(clearance=("Free of labels", "Balance level"))
    bench.does(Planned("100 g"))
    bench.does(PlanChecked(), BORIS, Meaning.CHECKED)
    refused(bench, BenchCleared(("Free of labels",)), "clearance.not_ticked")
    bench.does(BenchCleared(("Balance level", "Free of labels")))
    assert bench.state.stage is Stage.BENCH_CLEARED


def test_nothing_is_weighed_on_a_bench_that_isnt_cleared() -> None:
    refused(a_bench(), LineWeighed(0, reading("20 g")), "not_at_this_stage")


def test_nothing_goes_into_a_vessel_without_its_tare() -> None:
    bench = a_bench().cleared()
    refused(bench, LineWeighed(0, reading("20 g", vessel="Jar")), "vessel_rule.not_tared")
    bench.does(VesselTared("Jar", amount("250 g")))
    refused(bench, VesselTared("Jar", amount("240 g")), "vessel_rule.tared_already")
    refused(bench, VesselWeighed("Jar", amount("249 g")), "vessel_rule.below_tare")
    bench.does(VesselWeighed("Jar", amount("270 g")))
    bench.does(WaterRestored("Jar", amount("2 g")))
    (vessel,) = bench.state.vessels
    assert (vessel.net, vessel.water) == (amount("20 g"), (amount("2 g"),))


def test_a_late_addition_is_weighed_while_the_bulk_cools_and_not_before_its_step() -> None:
    content = a_cream(steps=(*a_cream().steps[:4], *a_cream().steps[5:]))
    bench = a_bench(content).cleared()
    refused(bench, LineWeighed(2, reading("10 g")), "line.later")


def test_a_line_that_is_in_isnt_weighed_again() -> None:
    refused(a_bench().melted(), LineWeighed(0, reading("1 g")), "line.closed")


def test_too_much_stops_the_work_until_somebody_decides_and_signs() -> None:
    bench = a_bench().cleared()
    assert bench.weighs(0, "22 g").to_decide == (0,)
    refused(bench, LineWeighed(1, reading("70 g")), "line.decide_first")
    refused(bench, StepDone(0), "line.decide_first")
    decision = LineDecided(0, Way.WASTE, "Shook too much out")
    refused(bench, decision, "not_signed", BORIS)
    left = LineWeighed(0, reading("20 g", taking=Taking.LEFT))
    refused(bench, left, "line.waste_undecided")
    bench.does(decision, BORIS, Meaning.DECIDED)
    assert bench.does(left).to_decide == ()
    assert [each.amount for each in bench.state.lines[0].readings] == [
        amount("22 g"),
        amount("20 g"),
    ]
    (deviation,) = bench.state.deviations
    assert (deviation.category, deviation.decided_by) == (Category.WEIGHING, "boris")


def test_what_is_in_the_vessel_isnt_taken_out() -> None:
    bench = a_bench().cleared()
    bench.does(VesselTared("Jar", amount("250 g")))
    bench.weighs(0, "22 g", vessel="Jar")
    refused(bench, LineDecided(0, Way.WASTE, "x"), "ways.not_open", BORIS, Meaning.DECIDED)


def test_making_good_raises_every_line_and_reopens_those_that_were_right() -> None:
    bench = a_bench().cleared()
    bench.weighs(0, "20 g")
    bench.does(StepDone(0))
    bench.weighs(1, "77 g")
    good = LineDecided(1, Way.MAKE_GOOD, "Costs little", Fraction(11, 10), Surplus.WASTE)
    other = replace(good, factor=Fraction(12, 10))
    refused(bench, other, "ways.other_factor", BORIS, Meaning.DECIDED)
    unsaid = replace(good, surplus=None)
    refused(bench, unsaid, "line.surplus_unsaid", BORIS, Meaning.DECIDED)
    bench.does(good, BORIS, Meaning.DECIDED)
    assert [each.target for each in bench.state.lines] == [
        amount("22 g"),
        amount("77 g"),
        amount("11 g"),
    ]
    assert standing(bench.state.lines[0]) is Standing.UNDER
    refused(bench, StepDone(1), "step.not_now")
    bench.weighs(0, "2 g")
    bench.does(StepDone(1))
    assert bench.state.done_steps == {0, 1}


def test_after_phases_are_joined_nothing_is_made_good() -> None:
    bench = a_bench().joined()
    bench.weighs(2, "11 g")
    good = LineDecided(2, Way.MAKE_GOOD, "x", Fraction(11, 10), Surplus.WASTE)
    refused(bench, good, "line.joined_already", BORIS, Meaning.DECIDED)
    bench.does(LineDecided(2, Way.DISCARD, "Too strong"), BORIS, Meaning.DECIDED)
    assert (bench.state.stage, bench.state.fate) == (Stage.REJECTED, "Too strong")


def test_in_the_joined_bulk_too_much_is_accepted_within_the_limits_or_thrown_away() -> None:
    bench = a_bench().joined()
    bench.weighs(2, "10.5 g", vessel="Jar")
    ways = [each.way for each in open_ways(bench.state, 2)]
    assert ways == [Way.ACCEPT, Way.DISCARD]
    bench.does(LineDecided(2, Way.ACCEPT, "In limits"), BORIS, Meaning.DECIDED)
    assert bench.state.to_decide == ()
    far = a_bench().joined()
    far.weighs(2, "13 g", vessel="Jar")
    assert [each.way for each in open_ways(far.state, 2)] == [Way.DISCARD]


def test_a_late_addition_in_its_own_boat_can_still_be_mended() -> None:
    bench = a_bench().joined()
    bench.weighs(2, "11 g")
    assert [each.way for each in open_ways(bench.state, 2)] == [
        Way.WASTE,
        Way.ACCEPT,
        Way.DISCARD,
    ]


def test_a_decision_needs_its_reason_and_a_line_outside_its_band() -> None:
    bench = a_bench().cleared()
    bench.weighs(0, "20 g")
    refused(bench, LineDecided(0, Way.ADD, ""), "reason_missing", BORIS, Meaning.DECIDED)
    refused(bench, LineDecided(0, Way.ACCEPT, "x"), "ways.not_open", BORIS, Meaning.DECIDED)
    short = a_bench().cleared()
    short.weighs(0, "15 g")
    short.does(LineDecided(0, Way.ADD, "Jar ran out"), BORIS, Meaning.DECIDED)
    short.weighs(0, "5 g")
    assert standing(short.state.lines[0]) is Standing.INSIDE


def test_a_line_that_asks_for_it_is_checked_by_another_person() -> None:
    bench = a_bench(needs_check=(0,)).cleared()
    bench.weighs(0, "20 g")
    refused(bench, StepDone(0), "step.not_now")
    seen = LineChecked(0, "100", amount("20 g"))
    refused(bench, seen, "weighing.checker_is_weigher", ANNA, Meaning.CHECKED)
    bench.does(seen, BORIS, Meaning.CHECKED)
    bench.does(StepDone(0))
    assert bench.state.exemptions == ()


def test_a_lone_pharmacist_checks_and_types_alone_and_it_shows() -> None:
    bench = a_bench(needs_check=(0,), high_alert=(0,)).cleared()
    typed = LineWeighed(0, reading("20 g", manual=True))
    refused(bench, typed, "weighing.witness_missing", BORIS)
    bench.does(typed, BORIS, Meaning.MADE, "Saturday duty")
    assert bench.state.lines[0].high_alert
    bench.does(LineChecked(0, "100", amount("20 g")), BORIS, Meaning.CHECKED, "Saturday duty")
    assert [each.event for each in bench.state.exemptions] == [4, 5]
    bench.does(StepDone(0), BORIS)


def test_a_boat_is_emptied_into_a_tared_vessel_once() -> None:
    bench = a_bench().cleared()
    bench.weighs(0, "20 g")
    refused(bench, LineTransferred(0, "Jar"), "vessel_rule.not_tared")
    bench.does(VesselTared("Jar", amount("250 g")))
    assert bench.does(LineTransferred(0, "Jar")).lines[0].vessel == "Jar"


def test_jars_are_filled_from_a_yield_and_hold_no_more() -> None:
    bench = a_bench().made()
    refused(bench, ContainersFilled((amount("50 g"),) * 2), "goods.yield_first")
    bench.does(YieldTaken(amount("98 g"), inside=True))
    refused(bench, ContainersFilled((amount("50 g"),) * 2), "goods.more_than_yield")
    refused(bench, ContainersFilled(()), "goods.empty_container")
    bench.does(ContainersFilled((amount("49 g"),) * 2))
    assert [jar.number for jar in bench.state.jars] == [1, 2]


def test_nothing_is_packed_before_the_method_is_done() -> None:
    refused(a_bench().joined(), YieldTaken(amount("98 g"), inside=True), "step.line_unfinished")


def test_a_yield_outside_its_limits_and_other_jars_than_ordered_await_a_decision() -> None:
    bench = a_bench().made()
    bench.does(YieldTaken(amount("80 g"), inside=False))
    bench.does(ContainersFilled((amount("40 g"),)))
    assert [each.category for each in bench.state.open_deviations] == [
        Category.YIELD,
        Category.CONTAINERS,
    ]


def test_a_second_label_needs_a_reason_and_a_spoilt_one_is_on_record() -> None:
    bench = a_bench().packed()
    bench.does(LabelsPrinted((1, 2)))
    refused(bench, LabelsPrinted((1,)), "labels.reason_missing")
    refused(bench, LabelsPrinted((3,)), "no_such_jar")
    bench.does(LabelsVoided(1, "Smeared"))
    bench.does(LabelsPrinted((2,), reason="Looked like it"))
    refused(bench, LabelsReconciled(used=2, destroyed=1, spare=0), "labels.jar_without")
    bench.does(LabelsPrinted((1,)))
    refused(bench, LabelsVoided(2, "Lost", 3), "labels.not_so_many")
    bench.does(LabelsReconciled(used=2, destroyed=1, spare=1))
    assert bench.state.stage is Stage.LABELLED


@pytest.mark.parametrize(
    ("used", "destroyed", "spare", "key"),
    [
        (2, 1, 0, "no_sum"),
        (1, 0, 1, "other_than_jars"),
        (2, -1, 1, "no_sum"),
    ],
)
def test_labels_that_dont_add_up_are_refused(
    used: int, destroyed: int, spare: int, key: str
) -> None:
    bench = a_bench().packed()
    bench.does(LabelsPrinted((1, 2)))
    refused(bench, LabelsReconciled(used, destroyed, spare), f"labels.{key}")


def test_a_label_lost_has_to_be_on_record_as_destroyed() -> None:
    bench = a_bench().packed()
    bench.does(LabelsPrinted((1, 2)))
    bench.does(LabelsPrinted((1,), reason="Crooked"))
    refused(bench, LabelsReconciled(2, 1, 0), "labels.other_than_void")
    bench.does(LabelsVoided(1, "Crooked"))
    bench.does(LabelsReconciled(2, 1, 0))


def test_a_test_of_the_formula_is_done_before_release_and_a_failed_one_decided() -> None:
    content = a_cream(tests=(QualityTest("pH", "5 to 7"),))
    bench = a_bench(content).packed()
    bench.does(LabelsPrinted((1, 2)))
    bench.does(LabelsReconciled(2, 0, 0))
    refused(bench, SentForRelease(), "goods.test_missing")
    bench.does(QualityTested("pH", "4.6", passed=False))
    bench.does(SentForRelease())
    refused(bench, Released(), "release.deviation_open", CLARA, Meaning.RELEASED)
    bench.does(DeviationDecided(1, "Within the literature"), CLARA, Meaning.DECIDED)
    bench.does(Released(), CLARA, Meaning.RELEASED)


def test_who_made_it_doesnt_release_it_unless_alone() -> None:
    bench = a_bench().awaiting_release()
    refused(bench, Released(), "release.same_person", ANNA, Meaning.RELEASED)
    state = bench.does(Released(), ANNA, Meaning.RELEASED, "Saturday duty")
    assert [each.because for each in state.exemptions] == ["Saturday duty"]


def test_a_trial_is_never_released() -> None:
    bench = a_bench(trial=True).awaiting_release()
    refused(bench, Released(), "release.trial", CLARA, Meaning.RELEASED)


def test_nothing_is_handed_over_before_release_or_twice() -> None:
    bench = a_bench().awaiting_release()
    with pytest.raises(Refusal):
        bench.hands_over(1)
    bench.does(Released(), CLARA, Meaning.RELEASED)
    bench.hands_over(1)
    with pytest.raises(Refusal):
        bench.hands_over(1)


def test_a_rejection_says_what_becomes_of_the_goods() -> None:
    bench = a_bench().awaiting_release()
    refused(bench, Rejected("Lumps", ""), "fate_missing", CLARA, Meaning.REJECTED)
    bench.does(Rejected("Lumps", "Destroyed"), CLARA, Meaning.REJECTED)
    refused(bench, Held("x"), "at_its_end")
    bench.does(DeviationOpened(Category.OTHER, "Found later"))


def test_a_hold_stops_the_work_but_no_timer() -> None:
    bench = a_bench().cleared()
    bench.does(TimerStarted("Melting", Fraction(10), 0))
    bench.does(Held("Recall of lot L1"))
    refused(bench, LineWeighed(0, reading("20 g")), "held")
    (timer,) = bench.state.open_timers
    assert timer.remaining(timer.started_at + timedelta(minutes=4)) == timedelta(minutes=6)
    bench.does(TimerStopped(1))
    bench.does(HoldLifted("Other lot"))
    bench.weighs(0, "20 g")
    refused(bench, TimerStopped(1), "timer.not_running")


def test_what_is_on_the_shelf_is_frozen_by_a_hold() -> None:
    bench = a_bench().released()
    bench.does(Held("Recall"))
    with pytest.raises(Refusal):
        bench.hands_over(1)


def test_what_was_weighed_has_a_fate_when_the_work_is_cancelled() -> None:
    bench = a_bench().cleared()
    bench.weighs(0, "20 g")
    refused(bench, Cancelled("Patient died"), "fate_missing")
    bench.does(Cancelled("Patient died", "Destroyed"))
    assert bench.state.stage is Stage.CANCELLED


def test_nothing_is_cancelled_after_release() -> None:
    refused(a_bench().released(), Cancelled("x", "y"), "move")


def test_a_step_back_has_a_reason_and_the_stages_are_passed_again() -> None:
    bench = a_bench().cleared()
    refused(bench, SteppedBack(Stage.PLANNED, ""), "reason_missing")
    bench.does(SteppedBack(Stage.PLANNED, "Wrong balance"))
    refused(bench, BenchCleared(), "move")
    bench.does(PlanChecked(), BORIS, Meaning.CHECKED)


def test_what_is_weighed_keeps_its_plan() -> None:
    bench = a_bench().melted()
    refused(bench, SteppedBack(Stage.PLANNED, "x"), "step_back.weighed")


def test_jars_are_filled_anew_only_when_no_label_is_in_force() -> None:
    bench = a_bench().packed()
    bench.does(LabelsPrinted((1,)))
    refused(bench, SteppedBack(Stage.IN_WORK, "Leaks"), "step_back.labels_in_force")
    bench.does(LabelsVoided(1, "Leaks"))
    bench.does(SteppedBack(Stage.IN_WORK, "Leaks"))
    assert (bench.state.jars, bench.state.yielded) == ((), None)


def test_marks_and_corrections_stand_beside_what_happened() -> None:
    bench = a_bench().cleared()
    bench.does(Moved("Bench 2"))
    bench.does(Transcribed("Sheet 12"))
    bench.does(Corrected(1, "Planned for 90 g", "Misread"))
    refused(bench, Corrected(99, "x", "y"), "no_such_event")
    state = bench.state
    assert (state.workstation, state.transcribed) == ("Bench 2", ("Sheet 12",))
    assert [each.number for each in state.corrections] == [6]


def test_work_that_was_left_is_taken_up_again() -> None:
    bench = a_bench().cleared()
    assert bench.does(Interrupted("Telephone")).interrupted
    assert not bench.does(Continued()).interrupted
    refused(bench, Continued(), "not_interrupted")


def test_a_container_is_staged_for_a_line_that_there_is() -> None:
    bench = a_bench().cleared()
    refused(bench, ContainerStaged(0, " "), "container_missing")
    refused(bench, ContainerStaged(7, "100"), "no_such_line")
    (staged,) = bench.does(ContainerStaged(0, "100", "L1", typed=True)).staged
    assert (staged.container, staged.typed) == ("100", True)


def test_a_vessel_has_a_name_and_a_tare_and_gets_some_water() -> None:
    bench = a_bench().cleared()
    refused(bench, VesselTared("", amount("250 g")), "vessel_rule.unnamed")
    nothing = Amount(Fraction(0), "g")
    refused(bench, VesselTared("Jar", nothing), "vessel_rule.no_tare")
    bench.does(VesselTared("Jar", amount("250 g")))
    refused(bench, WaterRestored("Jar", nothing), "vessel_rule.no_water")


def test_a_boat_isnt_emptied_twice() -> None:
    bench = a_bench().cleared()
    bench.does(VesselTared("Jar", amount("250 g")))
    bench.weighs(0, "20 g", vessel="Jar")
    refused(bench, LineTransferred(0, "Jar"), "line.transferred")


def test_nothing_is_accepted_where_true_strengths_cant_be_worked_out() -> None:
    content = a_formula(
        active("Menthol", "5 g"),
        a_line("Oil", "10 mL", density=density("0.9")),
        a_line("Base", "to 100 g"),
    )
    bench = a_bench(content).cleared()
    bench.does(LineWeighed(1, replace(reading("10.2 mL"), balance="Cylinder 1")))
    bench.weighs(0, "5.2 g")
    assert Way.ACCEPT in [each.way for each in open_ways(bench.state, 0)]
    lines = bench.state.job.plan.lines
    without = replace(lines[1], line=replace(lines[1].line, density=None))
    plan = replace(bench.state.job.plan, lines=(lines[0], without, lines[2]))
    bench.state = replace(bench.state, job=replace(bench.state.job, plan=plan))
    ways = [each.way for each in open_ways(bench.state, 0)]
    assert Way.ACCEPT not in ways
    assert Way.WASTE in ways


def test_figures_of_nothing_are_refused() -> None:
    bench = a_bench().made()
    nothing = Amount(Fraction(0), "g")
    refused(bench, YieldTaken(nothing, inside=True), "goods.no_yield")
    bench.does(YieldTaken(amount("98 g"), inside=True))
    refused(bench, ContainersFilled((nothing,)), "goods.empty_container")
    refused(bench, QualityTested("pH", " ", passed=True), "goods.nothing_found")
    bench.does(QualityTested("pH", "5.5", passed=True))
    bench.does(ContainersFilled((amount("40 mL"), amount("40 mL"))))
    bench.does(YieldTaken(amount("97 g"), inside=True))
    assert bench.state.yielded == amount("97 g")


def test_a_jar_that_isnt_there_goes_to_nobody() -> None:
    bench = a_bench().released()
    refused(bench, HandedOver(3, Recipient.WARD, "ward-3"), "no_such_jar")
    refused(bench, HandedOver(1, Recipient.WARD, ""), "handing_over.to_nobody")


def test_every_step_is_done_before_the_yield() -> None:
    bench = a_bench(a_cream(steps=(a_step("Mix"),))).cleared()
    for line, typed in enumerate(("20 g", "70 g", "10 g")):
        bench.weighs(line, typed)
    refused(bench, YieldTaken(amount("98 g"), inside=True), "goods.step_open")


def test_what_isnt_there_isnt_decided_held_or_lifted_twice() -> None:
    bench = a_bench().cleared()
    refused(bench, DeviationDecided(1, "x"), "deviation.not_open", BORIS, Meaning.DECIDED)
    refused(bench, DeviationOpened(Category.OTHER, ""), "deviation.unsaid")
    refused(bench, HoldLifted("x"), "hold.not_held")
    bench.does(Held("Recall"))
    refused(bench, Held("Again"), "held")
    refused(bench, TimerStarted("x", Fraction(1)), "held")


def test_of_two_deviations_one_is_decided() -> None:
    bench = a_bench().cleared()
    bench.does(DeviationOpened(Category.OTHER, "Power cut"))
    bench.does(DeviationOpened(Category.OTHER, "Telephone"))
    bench.does(DeviationDecided(2, "No matter"), BORIS, Meaning.DECIDED)
    assert [each.number for each in bench.state.open_deviations] == [1]


def test_a_timer_runs_for_more_than_no_time() -> None:
    refused(a_bench().cleared(), TimerStarted("x", Fraction(0)), "timer.no_time")


def test_a_preparation_not_weighed_yet_is_cancelled_without_a_fate() -> None:
    assert a_bench().cleared().does(Cancelled("Not wanted")).stage is Stage.CANCELLED


def test_a_labelled_preparation_goes_back_to_packed_with_its_jars() -> None:
    bench = a_bench().awaiting_release()
    assert len(bench.does(SteppedBack(Stage.PACKED, "Label smeared")).jars) == 2
