"""Lanes run side by side, joins wait, and each line is weighed at the step that needs it."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from formulary.bench.events import (
    Answer,
    Category,
    LineWeighed,
    Measured,
    PhasesJoined,
    StepDone,
    StepStarted,
    TimerStarted,
)
from formulary.bench.method import closing_step, method_of, open_steps, opening_step
from formulary.bench.words import where
from formulary.catalogue import Catalogue
from formulary.errors import Forbidden, Refusal
from formulary.exchange.formula_text import read_formula_file
from formulary.formula.content import Ask, Asked, Phase
from formulary.resources import sample_path
from formulary.signing import Meaning
from tests.formulary.bench.test_fold import refused
from tests.helpers.at_bench import BORIS, Bench, a_bench, a_cream, a_step, at, reading
from tests.helpers.formulas import a_formula, a_line

PHASES = (Phase("A", "Fat"), Phase("B", "Water"))
WATER = a_line("Water", "to 100 g", phase="A")


def test_a_method_without_phases_goes_step_by_step() -> None:
    method = method_of(a_formula(WATER, steps=(a_step("1"), a_step("2"), a_step("3"))))
    assert open_steps(method, ()) == (0,)
    assert open_steps(method, {0}) == (1,)
    assert open_steps(method, {0, 1, 2}) == ()


def test_phases_run_side_by_side_and_the_join_waits_for_both() -> None:
    method = method_of(a_cream())
    assert open_steps(method, ()) == (0, 1, 4)
    assert open_steps(method, {0}) == (1, 4)
    assert open_steps(method, {0, 1}) == (2, 4)
    assert [flow.phases for flow in method.steps[2].flows] == [("A",), ("B",)]


def test_a_later_join_brings_the_bulk_and_the_late_phase_together() -> None:
    step = method_of(a_cream()).steps[5]
    assert step.waits_for == {3, 4}
    assert [flow.phases for flow in step.flows] == [("A", "B"), ("C",)]


def test_lanes_name_their_phase_and_their_steps() -> None:
    lanes = method_of(a_cream()).lanes
    assert [(lane.name, lane.steps) for lane in lanes] == [
        ("Fat phase", (0,)),
        ("Water phase", (1,)),
        ("", (2, 3, 5)),
        ("Late", (4,)),
    ]


def test_steps_before_any_phase_prepare_every_lane() -> None:
    steps = (a_step("Sieve"), a_step("Melt", "A"), a_step("Heat", "B"), a_step("Join"))
    method = method_of(a_formula(WATER, phases=PHASES, steps=steps))
    assert open_steps(method, ()) == (0,)
    assert open_steps(method, {0}) == (1, 2)


def test_a_step_of_a_phase_can_name_the_phases_that_flow_into_it() -> None:
    steps = (a_step("Melt", "A"), a_step("Heat", "B"), a_step("Pour", "B", joins=("A",)))
    method = method_of(a_formula(WATER, phases=PHASES, steps=(*steps, a_step("Stir", "A"))))
    assert method.steps[2].waits_for == {0, 1}
    assert method.steps[3].waits_for == {2}


def test_a_line_is_weighed_at_the_first_step_of_its_phase() -> None:
    method = method_of(a_cream())
    assert [opening_step(method, line) for line in range(3)] == [0, 1, 4]
    assert [closing_step(method, line) for line in range(3)] == [0, 1, 4]


def test_a_line_is_weighed_at_the_step_that_names_it() -> None:
    steps = (a_step("Melt"), a_step("Stir in", adds=("Oil",)))
    lines = (a_line("Base", "to 100 g"), a_line("Oil", "1 g"))
    method = method_of(a_formula(*lines, steps=steps))
    assert [opening_step(method, line) for line in (0, 1)] == [0, 1]
    assert method.steps[1].is_late_addition


def test_what_is_made_up_to_a_mark_goes_in_by_and_by() -> None:
    lines = (a_line("Salt", "1 g"), a_line("Water", "to 100 mL"))
    method = method_of(a_formula(*lines, steps=(a_step("Dissolve"), a_step("Make up"))))
    assert (opening_step(method, 1), closing_step(method, 1)) == (0, 1)


def test_a_line_whose_phase_has_no_step_is_in_by_the_last_step() -> None:
    content = a_cream(steps=a_cream().steps[:4])
    method = method_of(content)
    assert (opening_step(method, 2), closing_step(method, 2)) == (2, 3)


def test_a_formula_without_steps_weighs_at_any_time() -> None:
    method = method_of(a_formula(WATER))
    assert opening_step(method, 0) is None
    assert closing_step(method, 0) is None


def test_a_step_out_of_order_is_refused_without_a_signed_exception() -> None:
    bench = a_bench().cleared()
    refused(bench, StepStarted(2), "step.not_now")
    refused(bench, StepStarted(2, "Oven broke"), "not_signed", BORIS)
    refused(bench, StepStarted(9), "step.unknown")
    state = bench.does(StepStarted(2, "Oven broke"), BORIS, Meaning.DECIDED)
    assert 2 in state.open_steps
    assert {each.category for each in state.deviations} == {Category.ORDER}
    assert state.open_deviations == ()
    refused(bench, StepStarted(2), "step.begun")


def test_a_step_waits_for_its_lines_and_is_done_once() -> None:
    bench = a_bench().cleared()
    refused(bench, StepDone(0), "step.not_now")
    bench.weighs(0, "20 g")
    bench.does(StepStarted(0))
    assert bench.does(StepDone(0)).done_steps == {0}
    refused(bench, StepDone(0), "step.done_already")


def test_a_join_waits_for_its_temperatures() -> None:
    bench = a_bench().melted()
    refused(bench, StepDone(2), "step.not_now")
    refused(bench, PhasesJoined(3, ()), "join.nothing_to_join")
    apart = PhasesJoined(2, (at("A", "70"), at("B", "64")))
    refused(bench, apart, "step.not_now")
    bench.does(PhasesJoined(2, (at("A", "70"), at("B", "65"))))
    refused(bench, apart, "join.joined_already")
    bench.does(StepDone(2))


def test_phases_are_joined_against_their_windows_only_for_a_signed_reason() -> None:
    bench = a_bench().melted()
    cold = PhasesJoined(2, (at("A", "60"), at("B", "60")), "Wax still clear")
    with pytest.raises(Forbidden):
        bench.does(cold, BORIS)
    state = bench.does(cold, BORIS, Meaning.DECIDED)
    assert [each.category for each in state.deviations] == [Category.TEMPERATURE] * 2


def test_phases_arent_joined_before_their_steps_are_done() -> None:
    bench = a_bench().cleared()
    refused(bench, PhasesJoined(2, (at("A", "68"), at("B", "68"))), "step.not_now")


def asking(*asks: Ask, minutes: Fraction | None = None) -> Bench:
    """Return a cleared bench whose only step asks for something."""
    step = a_step("Stir", asks=asks, minutes=minutes)
    bench = a_bench(a_formula(a_line("Base", "to 100 g"), steps=(step,))).cleared()
    bench.does(LineWeighed(0, reading("100 g")))
    return bench


PH = Ask(Asked.PH, lowest=Fraction(5), highest=Fraction(7))


@pytest.mark.parametrize(
    ("ask", "answer"),
    [
        (PH, None),
        (PH, Answer(Asked.PH)),
        (PH, Answer(Asked.PH, Fraction("4.9"))),
        (Ask(Asked.PHOTO), Answer(Asked.PHOTO)),
        (Ask(Asked.SECOND_PERSON), Answer(Asked.SECOND_PERSON)),
        (Ask(Asked.SECOND_PERSON), Answer(Asked.SECOND_PERSON, person_id="anna")),
        (Ask(Asked.TICK), None),
    ],
)
def test_a_step_isnt_done_before_it_is_answered(ask: Ask, answer: Answer | None) -> None:
    bench = asking(ask)
    refused(bench, StepDone(0, () if answer is None else (answer,)), "step.not_now")


@pytest.mark.parametrize(
    ("ask", "answer"),
    [
        (PH, Answer(Asked.PH, Fraction(5))),
        (Ask(Asked.PHOTO), Answer(Asked.PHOTO, text="0fae")),
        (Ask(Asked.SECOND_PERSON), Answer(Asked.SECOND_PERSON, person_id="boris")),
        (Ask(Asked.TICK), Answer(Asked.TICK)),
    ],
)
def test_an_answered_step_is_done(ask: Ask, answer: Answer) -> None:
    (progress,) = asking(ask).does(StepDone(0, (answer,))).steps
    assert progress.answers == (answer,)


def test_who_works_alone_is_the_second_person_for_a_signed_reason() -> None:
    bench = asking(Ask(Asked.SECOND_PERSON))
    state = bench.does(StepDone(0), BORIS, Meaning.MADE, "Saturday duty")
    assert len(state.exemptions) == 1


def test_a_late_addition_asks_for_the_temperature_of_its_ceiling() -> None:
    content = a_formula(
        a_line("Base", "99 g"),
        a_line("Oil", "1 g"),
        steps=(a_step("Melt"), a_step("Stir in", temperature="below 40 °C", adds=("Oil",))),
    )
    bench = a_bench(content).cleared()
    bench.weighs(0, "99 g")
    bench.does(StepDone(0))
    bench.weighs(1, "1 g")
    hot = StepDone(1, (Answer(Asked.TEMPERATURE, Fraction(41)),))
    refused(bench, hot, "step.not_now")
    bench.does(Measured(Asked.TEMPERATURE, Fraction(41), 1))
    bench.does(StepDone(1, (Answer(Asked.TEMPERATURE, Fraction(40)),)))


def test_a_step_with_a_timer_is_done_when_its_time_is_up() -> None:
    bench = asking(minutes=Fraction(2))
    refused(bench, StepDone(0), "step.not_now")
    bench.does(TimerStarted("Stirring", Fraction(2), 0))
    refused(bench, StepDone(0), "step.not_now")
    bench.does(Measured(Asked.TEMPERATURE, Fraction(22)))
    bench.does(StepDone(0))


def test_a_time_long_enough_that_was_noted_does_for_a_timer() -> None:
    bench = asking(minutes=Fraction(2))
    bench.does(StepDone(0, (Answer(Asked.TIME, Fraction(2)),)))


def test_after_an_interruption_the_bench_says_where_it_was() -> None:
    bench = a_bench().cleared()
    assert where(bench.state) is None
    bench.weighs(0, "20 g")
    said = where(bench.state)
    assert said is not None
    assert Catalogue().text(said).startswith("Wax: 20\u00a0g. Anna, 2")
    bench.does(StepDone(0))
    last = where(bench.state)
    assert last is not None
    assert Catalogue().text(last).startswith("Step 1 done: Melt")


def test_a_tick_isnt_a_measurement() -> None:
    with pytest.raises(Refusal):
        a_bench().cleared().does(Measured(Asked.TICK, Fraction(1)))


@pytest.mark.parametrize(
    "path", sorted(sample_path("formulas").glob("*.toml")), ids=lambda path: path.stem
)
def test_every_formula_of_the_sample_can_be_followed_to_its_end(path: Path) -> None:
    content = read_formula_file(path)
    method, done = method_of(content), set[int]()
    while following := open_steps(method, done):
        done.add(following[0])
    assert done == set(range(len(content.steps)))
    for line in range(len(content.lines)):
        first, last = opening_step(method, line), closing_step(method, line)
        assert first is not None
        assert last is not None
        assert first <= last
