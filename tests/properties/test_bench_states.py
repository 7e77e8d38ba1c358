"""Whatever is tried at the bench, in whatever order, no required stage is skipped."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from formulary.bench import events
from formulary.bench.events import Event
from formulary.bench.fold import follow_all
from formulary.bench.stages import BEFORE_RELEASE, MOVES, Stage
from formulary.errors import Refusal
from formulary.signing import Meaning
from tests.helpers.at_bench import ANNA, BORIS, CLARA, Bench, Who, a_bench, at, reading
from tests.helpers.formulas import amount

PEOPLE: st.SearchStrategy[Who] = st.sampled_from([ANNA, BORIS, CLARA])
STEPS = st.integers(-1, 6)
LINES = st.integers(-1, 3)
MASSES = st.sampled_from(["1 g", "5 g", "10 g", "11 g", "20 g", "22 g", "70 g"]).map(reading)
WORDS = st.sampled_from(["", "because"])
SIDES = st.sampled_from(["A", "B", "C", "A+B"])
TEMPERATURES = st.lists(
    st.tuples(SIDES, st.sampled_from(["20", "38", "60", "68"])).map(lambda each: at(*each)),
    max_size=3,
).map(tuple)
JARS = st.integers(0, 3)

ATTEMPTS: st.SearchStrategy[Event] = st.one_of(
    st.just(events.Planned("100 g")),
    st.just(events.PlanChecked()),
    st.just(events.BenchCleared()),
    st.just(events.VesselTared("Jar", amount("250 g"))),
    st.builds(events.LineWeighed, LINES, MASSES),
    st.builds(events.LineTransferred, LINES, st.just("Jar")),
    st.builds(
        events.LineDecided,
        LINES,
        st.sampled_from(events.Way),
        WORDS,
        st.sampled_from([None, Fraction(11, 10)]),
        st.sampled_from([None, *events.Surplus]),
    ),
    st.builds(events.StepStarted, STEPS, WORDS),
    st.builds(events.StepDone, STEPS, st.just(()), WORDS),
    st.builds(events.PhasesJoined, STEPS, TEMPERATURES, WORDS),
    st.builds(events.YieldTaken, st.just(amount("98 g")), st.booleans()),
    st.just(events.ContainersFilled((amount("48 g"), amount("48 g")))),
    st.builds(events.LabelsPrinted, st.lists(JARS, max_size=2).map(tuple), reason=WORDS),
    st.builds(events.LabelsVoided, JARS, WORDS),
    st.builds(events.LabelsReconciled, JARS, JARS, JARS),
    st.just(events.SentForRelease()),
    st.just(events.Released()),
    st.builds(events.Rejected, WORDS, WORDS),
    st.builds(events.HandedOver, JARS, st.just(events.Recipient.WARD), st.just("ward-3")),
    st.builds(events.DeviationDecided, st.integers(0, 3), WORDS),
    st.builds(events.Held, WORDS),
    st.builds(events.HoldLifted, WORDS),
    st.builds(events.Cancelled, WORDS, WORDS),
    st.builds(events.SteppedBack, st.sampled_from(Stage), WORDS),
)


def weighs_once(bench: Bench, line: int, typed: str) -> None:
    """Weigh a line that isn't weighed yet."""
    if not bench.state.lines[line].readings:
        bench.weighs(line, typed)


WAY: tuple[Callable[[Bench], object], ...] = (
    lambda bench: bench.does(events.Planned("100 g")),
    lambda bench: bench.does(events.PlanChecked(), BORIS, Meaning.CHECKED),
    lambda bench: bench.does(events.BenchCleared()),
    lambda bench: weighs_once(bench, 0, "20 g"),
    lambda bench: bench.does(events.StepDone(0)),
    lambda bench: weighs_once(bench, 1, "70 g"),
    lambda bench: bench.does(events.StepDone(1)),
    lambda bench: bench.does(events.PhasesJoined(2, (at("A", "68"), at("B", "66")))),
    lambda bench: bench.does(events.StepDone(2)),
    lambda bench: bench.does(events.StepDone(3)),
    lambda bench: weighs_once(bench, 2, "10 g"),
    lambda bench: bench.does(events.StepDone(4)),
    lambda bench: bench.does(events.PhasesJoined(5, (at("A+B", "38"), at("C", "22")))),
    lambda bench: bench.does(events.StepDone(5)),
    lambda bench: bench.does(events.YieldTaken(amount("98 g"), inside=True)),
    lambda bench: bench.does(events.ContainersFilled((amount("48 g"), amount("48 g")))),
    lambda bench: bench.does(events.LabelsPrinted((1, 2))),
    lambda bench: bench.does(events.LabelsReconciled(2, 0, 0)),
    lambda bench: bench.does(events.SentForRelease()),
    lambda bench: bench.does(events.Released(), CLARA, Meaning.RELEASED),
    lambda bench: bench.hands_over(1),
    lambda bench: bench.hands_over(2),
)
"""A flawless preparation, act by act."""


class AtTheBench(RuleBasedStateMachine):
    """People try everything; what is refused changes nothing, what is followed skips nothing."""

    def __init__(self) -> None:
        super().__init__()
        self.bench = a_bench()
        self.path: list[Stage] = [Stage.REQUESTED]

    def attempt(self, act: Callable[[Bench], object]) -> None:
        """Try an act; a refusal leaves the state as it was."""
        before = self.bench.state
        try:
            act(self.bench)
        except Refusal:
            assert self.bench.state is before
            return
        self._remember(before.stage, self.bench.state.stage)

    def _remember(self, before: Stage, after: Stage) -> None:
        if after is before:
            return
        self.path.append(after)
        back = after in BEFORE_RELEASE and BEFORE_RELEASE.index(after) < BEFORE_RELEASE.index(
            before
        )
        assert back or _leads(before, after)

    @rule(event=ATTEMPTS, who=PEOPLE, meaning=st.none() | st.sampled_from(Meaning), alone=WORDS)
    def tries_anything(self, event: Event, who: Who, meaning: Meaning | None, alone: str) -> None:
        self.attempt(lambda bench: bench.does(event, who, meaning, alone))

    @rule(jar=st.integers(1, 2))
    def hands_a_jar_over(self, jar: int) -> None:
        self.attempt(lambda bench: bench.hands_over(jar))

    @rule(acts=st.integers(1, len(WAY)))
    def goes_on_as_one_should(self, acts: int) -> None:
        for act in WAY[:acts]:
            self.attempt(act)

    @invariant()
    def every_required_stage_was_passed_in_its_order(self) -> None:
        stage = self.bench.state.stage
        passed = BEFORE_RELEASE
        if stage in BEFORE_RELEASE:
            passed = BEFORE_RELEASE[: BEFORE_RELEASE.index(stage) + 1]
        elif stage in (Stage.REJECTED, Stage.CANCELLED):
            passed = BEFORE_RELEASE[:1]
        last = [_last(self.path, each) for each in passed]
        assert last == sorted(last)

    @invariant()
    def a_released_preparation_has_no_open_end(self) -> None:
        state = self.bench.state
        if state.stage is Stage.RELEASED and not state.held:
            assert len(state.jars) == state.job.containers or state.deviations
            assert set(state.done_steps) == set(range(len(state.job.method.steps)))

    @invariant()
    def nobody_holds_a_jar_that_wasnt_released(self) -> None:
        handed = [jar for jar in self.bench.state.jars if jar.recipient is not None]
        assert not handed or Stage.RELEASED in self.path

    @invariant()
    def first_readings_stay(self) -> None:
        for line in self.bench.state.lines:
            assert len(line.readings) == len(line.weighed_by)


def _leads(before: Stage, after: Stage) -> bool:
    """Tell whether one act may lead there; the first act on a cleared bench may also end it."""
    if after in MOVES[before]:
        return True
    return before is Stage.BENCH_CLEARED and after in MOVES[Stage.IN_WORK]


def _last(path: list[Stage], stage: Stage) -> int:
    return len(path) - 1 - path[::-1].index(stage)


TestAtTheBench = AtTheBench.TestCase
TestAtTheBench.settings = settings(max_examples=60, stateful_step_count=25)


@given(st.lists(st.tuples(ATTEMPTS, PEOPLE), max_size=20))
def test_following_the_record_again_gives_the_same_state(
    attempts: list[tuple[Event, Who]],
) -> None:
    bench = a_bench()
    for act in WAY[:6]:
        act(bench)
    for event, who in attempts:
        with contextlib.suppress(Refusal):
            bench.does(event, who, Meaning.DECIDED)
    assert follow_all(a_bench().state, bench.followed) == bench.state
