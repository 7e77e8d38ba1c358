"""Invented work at the bench, done by the same verbs as real work, at whatever hour it is told."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from fractions import Fraction
from typing import Any

from formulary.bench import events
from formulary.bench.balance_checks import WeightRead
from formulary.bench.events import Answer, LineDecided, Surplus, Way
from formulary.bench.mixtures import mixture_of
from formulary.bench.quality import is_uniformity
from formulary.bench.reading import Reading, Taking
from formulary.bench.to_do import (
    CheckLine,
    CheckPlan,
    ClearBench,
    CountDrops,
    DecideLine,
    DoStep,
    DoTest,
    FillContainers,
    JoinPhases,
    MakeMixture,
    PrintLabels,
    ReconcileLabels,
    Release,
    SendForRelease,
    TakeYield,
    TareVessel,
    Task,
    WeighLine,
    to_do,
)
from formulary.bench.weighing import LineState, remaining
from formulary.desk import Desk
from formulary.exchange.sample_figures import (
    answer,
    as_needed,
    container,
    factor_of,
    instrument_named,
    joining,
    off,
    seen,
    single_masses,
    within,
)
from formulary.formula.content import Asked
from formulary.house import House
from formulary.people import Person
from formulary.quantity.amount import Amount
from formulary.quantity.rounding import round_half_even_to
from formulary.scaling.instruments import able
from formulary.stock.shelf import Holding
from formulary.store import Store
from formulary.verbs.add_drops import add_drops
from formulary.verbs.check_balance import check_balance
from formulary.verbs.decide_line import decide_line, ways_open
from formulary.verbs.finish_step import finish_step
from formulary.verbs.issue_labels import issue_labels
from formulary.verbs.make_mixture import make_mixture
from formulary.verbs.take_yield import take_yield
from formulary.verbs.weigh_line import mixture_factor, weigh_line
from formulary.verbs.weigh_units import weigh_units
from formulary.verbs.work_at_bench import AtBench, Backing, at_bench, record

WORKSTATION = "Bench 1"
LABEL_STOCK = "100x70"

TARE = Amount(Fraction("243.5"), "g")
HELD = Amount(Fraction(3000), "g")
_PAUSE = timedelta(minutes=2)


@dataclass
class Hours:
    """A clock that goes on only when it is told to."""

    at: datetime

    def now(self) -> datetime:
        """Return the hour it shows."""
        return self.at

    def pass_by(self, time: timedelta = _PAUSE) -> None:
        """Let time pass."""
        self.at += time


@dataclass(frozen=True, slots=True)
class Crew:
    """Who works in the sample pharmacy, by short names, with the PINs that everybody may know."""

    people: Mapping[str, Person]
    pins: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Slip:
    """One line weighed too heavy by per cent, and what was decided about it."""

    ingredient: str
    percent: Fraction
    way: Way
    reason: str
    surplus: Surplus = Surplus.WASTE


@dataclass(frozen=True, slots=True)
class Story:
    """How one preparation went; ``failing`` is a test and what it found.

    ``reprint`` is why the first jar's label was printed twice, ``alone`` why one did it all, and
    what is ``unreleased`` still waits.
    """

    maker: str
    checker: str
    releaser: str
    slip: Slip | None = None
    failing: tuple[str, str] | None = None
    rejected: str = ""
    fate: str = ""
    reprint: str = ""
    alone: str = ""
    yield_percent: Fraction = Fraction(98)
    unreleased: bool = False


@dataclass
class Bench:
    """A bench in the sample pharmacy at an hour."""

    store: Store
    house: House
    crew: Crew
    hours: Hours
    checked: set[tuple[date, str]] = field(default_factory=set)

    def desk(self, who: str) -> Desk:
        """Return the desk with somebody at it; the house stays as it is all the time."""
        person = self.crew.people[who]
        return Desk(
            self.store, self.hours, person, WORKSTATION, signed_in=True, known_house=self.house
        )

    def check(self, who: str, name: str) -> None:
        """Check a balance before it is first used on a day."""
        desk = self.desk(who)
        balances = [each for each in self.house.balances if each.name == name]
        if not balances or (desk.today, name) in self.checked:
            return
        self.checked.add((desk.today, name))
        shown = [WeightRead(each, each.nominal) for each in balances[0].weights]
        check_balance(desk, balances[0], shown)

    def do(self, lot: str, story: Story) -> AtBench:
        """Take a started preparation to its release or rejection."""
        course = Course(self, lot, story)
        work = at_bench(self.store, lot)
        while (task := course.next_of(work)) is not None:
            self.hours.pass_by()
            work = course.act(work, task)
        return work


@dataclass
class Course:
    """One preparation's way over the bench."""

    bench: Bench
    lot: str
    story: Story
    slipped: bool = False

    @property
    def maker(self) -> Desk:
        """The desk of whoever makes it."""
        return self.bench.desk(self.story.maker)

    def next_of(self, work: AtBench) -> Task | None:
        """Return what comes next; a vessel is tared for phases only, and jars are given later."""
        for task in to_do(work.state, self.bench.hours.now()):
            if not isinstance(task, TareVessel) or task.phase:
                waits = self.story.unreleased and isinstance(task, Release)
                return task if type(task) in _HOW and not waits else None
        return None

    def act(self, work: AtBench, task: Task) -> AtBench:
        """Do what comes next."""
        return _HOW[type(task)](self, work, task)

    def tare(self, _work: AtBench, task: TareVessel) -> AtBench:
        """Weigh an empty vessel on the largest balance."""
        heavy = self.bench.house.balances[-1].name
        vessel = events.VesselTared(f"Beaker {task.phase}", TARE, heavy, HELD, task.phase)
        return record(self.maker, self.lot, vessel)

    def check_plan(self, _work: AtBench, _task: CheckPlan) -> AtBench:
        """Have the plan checked."""
        return self._signed(self.story.checker, events.PlanChecked())

    def clear(self, work: AtBench, _task: ClearBench) -> AtBench:
        """Tick the house's list."""
        return record(self.maker, self.lot, events.BenchCleared(work.job.clearance))

    def look(self, work: AtBench, task: CheckLine) -> AtBench:
        """Have a line looked at."""
        return self._signed(self.story.checker, seen(work.state.lines[task.line]))

    def join(self, work: AtBench, task: JoinPhases) -> AtBench:
        """Join phases in the middle of their windows."""
        return record(self.maker, self.lot, joining(work, task.step))

    def fill(self, work: AtBench, _task: FillContainers) -> AtBench:
        """Fill what was ordered."""
        fill = (work.preparation.fill,) * work.preparation.containers
        return record(self.maker, self.lot, events.ContainersFilled(fill))

    def send(self, _work: AtBench, _task: SendForRelease) -> AtBench:
        """Send the record for release."""
        return record(self.maker, self.lot, events.SentForRelease())

    def _signed(self, who: str, event: events.Event) -> AtBench:
        """Record a signed act, alone where nobody else was there."""
        backing: Backing = {"pin": self.bench.crew.pins[who], "alone_because": self.story.alone}
        return record(self.bench.desk(who), self.lot, event, **backing)

    def weigh(self, work: AtBench, task: WeighLine) -> AtBench:
        """Weigh a line from the container whose turn it is."""
        line = work.state.lines[task.line]
        held = container(self.maker, work, line.position)
        amount, instrument = self._amount(work, line, held)
        self.bench.check(self.story.maker, instrument)
        reading = Reading(amount, instrument, held.container.number, manual=True)
        return self._witnessed(line, reading)

    def mix(self, work: AtBench, task: MakeMixture) -> AtBench:
        """Make the mixture of which a line is a part, to its plan."""
        planned = work.state.job.plan.lines[task.line]
        held = container(self.maker, work, task.line)
        factor = mixture_factor(self.maker, work, task.line, held.lot)
        plan, wanted = planned.sub_plan, mixture_of(planned, factor)
        if plan is None or wanted is None or plan.giver is None:
            raise ValueError(f"{self.lot}: line {task.line} has no mixture")
        other = container(self.maker, work, plan.giver)
        taken, diluent = self._read(wanted.taken, held), self._read(wanted.made_with, other)
        who = self.story.checker
        taken = replace(taken, witness_id=self.bench.crew.people[who].id)
        event = events.MixtureMade(task.line, taken, diluent)
        return make_mixture(self.maker, self.lot, event, second_pin=self.bench.crew.pins[who])

    def _read(self, amount: Amount, held: Holding) -> Reading:
        """Return an amount as it is read on an instrument that can do it."""
        name = able(amount, self.bench.house)[0]
        self.bench.check(self.story.maker, name)
        step = instrument_named(self.bench.house, name).readability
        return Reading(round_half_even_to(amount, step), name, held.container.number, manual=True)

    def _witnessed(self, line: LineState, reading: Reading) -> AtBench:
        """Weigh, with the checker as witness where a typed weight needs one."""
        who, pins = self.story.checker, self.bench.crew.pins
        if not line.high_alert:
            return weigh_line(self.maker, self.lot, line.position, reading)
        witnessed = replace(reading, witness_id=self.bench.crew.people[who].id)
        return weigh_line(self.maker, self.lot, line.position, witnessed, second_pin=pins[who])

    def _amount(self, work: AtBench, line: LineState, held: Holding) -> tuple[Amount, str]:
        """Return what the balance shows: the target, off by a step or two as balances are."""
        planned = work.state.job.plan.lines[line.position]
        if line.target is None:
            return as_needed(work, line.position), self.bench.house.balances[0].name
        instrument = instrument_named(self.bench.house, planned.instrument)
        factor = Fraction(1) if planned.sub_plan else factor_of(self.maker, work, line, held)
        amount = remaining(line, factor).result
        slip = self.story.slip
        if slip is not None and slip.ingredient == line.ingredient and not self.slipped:
            self.slipped = True
            amount *= 1 + slip.percent / 100
        elif not line.up_to and line.percent and amount == remaining(line, factor).result:
            amount += amount * (line.percent * off(self.lot, line.position))
        return round_half_even_to(amount, instrument.readability), instrument.name

    def drop(self, work: AtBench, task: CountDrops) -> AtBench:
        """Count the drops of a line in."""
        count = next(each for each in work.state.drops if each.line == task.line)
        held = container(self.maker, work, task.line)
        return add_drops(self.maker, self.lot, task.line, count.to_come, held.container.number)

    def decide(self, work: AtBench, task: DecideLine) -> AtBench:
        """Decide as the story goes, and take out what is too much where that is decided."""
        line, slip = task.line, self.story.slip
        if slip is None:
            raise ValueError(f"{self.lot}: line {line} is over its band without a story")
        # Who decides has a hand in making it, so somebody else releases it.
        desk = self.bench.desk(self.story.checker)
        ways = {each.way: each for each in ways_open(desk, self.lot, line)}
        factor = ways[slip.way].factor
        surplus = None if factor is None else slip.surplus
        decision = LineDecided(line, slip.way, slip.reason, factor, surplus)
        after = decide_line(desk, self.lot, decision, self.bench.crew.pins[self.story.checker])
        if slip.way is not Way.WASTE:
            return after
        state = work.state.lines[line]
        right = remaining(LineState(line, state.ingredient, state.target, state.percent)).result
        last = state.readings[-1]
        left = Reading(right * last.factor, last.balance, taking=Taking.LEFT)
        return weigh_line(self.maker, self.lot, line, left)

    def step(self, work: AtBench, task: DoStep) -> AtBench:
        """Do a step, answering what it asks."""
        step = task.step
        bench_step = work.state.job.method.steps[step]
        minutes = bench_step.minutes.shortest if bench_step.minutes is not None else None
        self.bench.hours.pass_by(timedelta(seconds=round((minutes or 5) * 60)))
        answers = [
            answer(ask, self.bench.crew.people[self.story.checker]) for ask in bench_step.asks
        ]
        if minutes is not None and Asked.TIME not in {each.what for each in answers}:
            answers.append(Answer(Asked.TIME, minutes))
        done = events.StepDone(step, tuple(answers))
        pin = self.bench.crew.pins[self.story.checker]
        return finish_step(self.maker, self.lot, done, second_pin=pin)

    def take_yield(self, work: AtBench, _task: TakeYield) -> AtBench:
        """Weigh what there is in the end."""
        return take_yield(self.maker, self.lot, self._obtained(work))

    def _obtained(self, work: AtBench) -> Amount:
        state = work.state
        raised = max((each.raised for each in state.lines), default=Fraction(1))
        total = state.job.plan.total * raised
        if total.unit == "piece":
            return total
        percent = self.story.yield_percent + off(self.lot, len(state.lines)) * 500
        got = round_half_even_to(total * (percent / 100), Amount(Fraction(1, 10), total.unit))
        ordered = work.preparation.fill * work.preparation.containers
        return got if got.to(ordered.unit) >= ordered else ordered.to(got.unit)

    def test(self, work: AtBench, task: DoTest) -> AtBench:
        """Test, and find what the story says, else something inside the limits."""
        failing = dict([self.story.failing] if self.story.failing else [])
        if is_uniformity(task.test):
            return weigh_units(self.maker, self.lot, task.test, single_masses(work))
        limits = next(each.limits for each in work.content.tests if each.name == task.test)
        found = failing.get(task.test, within(limits))
        passed = task.test not in failing
        return record(self.maker, self.lot, events.QualityTested(task.test, found, passed))

    def print_labels(self, work: AtBench, _task: PrintLabels) -> AtBench:
        """Print the labels, and one again where the story says so."""
        issue_labels(self.maker, self.lot, LABEL_STOCK, lambda _pages, _stock: None)
        if self.story.reprint:
            voided = events.LabelsVoided(1, self.story.reprint)
            record(self.maker, self.lot, voided)
            again = events.LabelsPrinted((1,), reason=self.story.reprint)
            record(self.maker, self.lot, again)
        return at_bench(self.bench.store, work.preparation.lot)

    def reconcile(self, work: AtBench, _task: ReconcileLabels) -> AtBench:
        """Count labels against jars."""
        void = sum(each.void for each in work.state.labels)
        event = events.LabelsReconciled(len(work.state.jars), void, 0)
        return record(self.maker, self.lot, event)

    def release(self, _work: AtBench, _task: Release) -> AtBench:
        """Release it, or reject it where the story says so."""
        self.bench.hours.pass_by(timedelta(minutes=20))
        who, story = self.story.releaser, self.story
        state = at_bench(self.bench.store, self.lot).state
        if story.rejected:
            return self._signed(who, events.Rejected(story.rejected, story.fate))
        for each in state.open_deviations:
            self._signed(
                who, events.DeviationDecided(each.number, "Within what the formula allows")
            )
        return self._signed(who, events.Released())


_HOW: dict[type, Callable[[Course, AtBench, Any], AtBench]] = {
    CheckPlan: Course.check_plan,
    ClearBench: Course.clear,
    TareVessel: Course.tare,
    WeighLine: Course.weigh,
    MakeMixture: Course.mix,
    CountDrops: Course.drop,
    CheckLine: Course.look,
    DecideLine: Course.decide,
    JoinPhases: Course.join,
    DoStep: Course.step,
    TakeYield: Course.take_yield,
    DoTest: Course.test,
    FillContainers: Course.fill,
    PrintLabels: Course.print_labels,
    ReconcileLabels: Course.reconcile,
    SendForRelease: Course.send,
    Release: Course.release,
}
"""How each task is done here; jars are given away at hours of their own."""
