"""A preparation as everything that happened to it so far makes it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from fractions import Fraction

from formulary.bench.drops import DropCount, drops_of
from formulary.bench.events import Answer, Category, Recipient, Recorded, Surplus, Way
from formulary.bench.joining import SideTemperature, difference_of
from formulary.bench.method import Method, method_of, open_steps
from formulary.bench.stages import Stage
from formulary.bench.timers import Timer
from formulary.bench.true_strength import (
    USUAL_LIMITS,
    Precision,
    StrengthLimits,
    precisions,
)
from formulary.bench.weighing import LineState, Standing, line_at_bench, standing
from formulary.formula.content import Content
from formulary.house import House
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.scaling.plan import Plan


@dataclass(frozen=True, slots=True)
class Job:
    """What was fixed when it was planned.

    ``containers`` is how many are ordered, ``reads`` how the house's balances and measures read,
    ``limits`` those of true strengths, ``clearance`` the house's tick list for the bench, ``tests``
    the formula's tests by name. A ``trial`` is never released. ``self_check_minutes`` is
    how long who acts alone waits before looking again (our default, no source).
    """

    plan: Plan
    method: Method
    join_difference: Fraction
    containers: int
    reads: Mapping[str, Precision]
    limits: StrengthLimits = USUAL_LIMITS
    clearance: tuple[str, ...] = ()
    tests: tuple[str, ...] = ()
    trial: bool = False
    self_check_minutes: int = 15


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a step has come; ``excepted`` is the signed reason for which it may be out of order.

    ``done_at`` is None while it is open.
    """

    step: int
    started_at: datetime
    done_at: datetime | None = None
    done_by: str = ""
    answers: tuple[Answer, ...] = ()
    excepted: str = ""


@dataclass(frozen=True, slots=True)
class Joined:
    """Phases that were joined, where and at what temperatures."""

    step: int
    at: datetime
    temperatures: tuple[SideTemperature, ...]


@dataclass(frozen=True, slots=True)
class Vessel:
    """A main vessel: its tare, each gross reading and addition of water since, what it holds."""

    name: str
    tare: Amount
    gross: tuple[Amount, ...] = ()
    water: tuple[Amount, ...] = ()
    holds: Amount | None = None
    phase: str = ""

    @property
    def net(self) -> Amount | None:
        """What is in it by its last gross reading."""
        return self.gross[-1] - self.tare if self.gross else None


@dataclass(frozen=True, slots=True)
class Staged:
    """A container that was fetched for a line."""

    line: int
    container: str
    lot: str
    typed: bool


@dataclass(frozen=True, slots=True)
class Jar:
    """A filled container with its number, its labels, and whom it went to."""

    number: int
    net: Amount
    recipient: Recipient | None = None
    recipient_id: str = ""
    handed_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class JarLabels:
    """The labels of one jar: how many were printed, and how many of those destroyed."""

    jar: int
    printed: int = 0
    void: int = 0


@dataclass(frozen=True, slots=True)
class Tested:
    """A test's finding and verdict; the last of a name counts, the others stay in the record."""

    test: str
    found: str
    passed: bool


@dataclass(frozen=True, slots=True)
class Deviation:
    """Something that went otherwise than written; open until it is decided and signed.

    ``way`` is the way out that was chosen where a line was out of tolerance.
    """

    number: int
    event: int
    category: Category
    what: Message
    impact: str = ""
    decision: str = ""
    decided_by: str = ""
    way: Way | None = None

    @property
    def is_open(self) -> bool:
        """Whether nobody has decided it."""
        return not self.decision


@dataclass(frozen=True, slots=True)
class Exemption:
    """An act that one person did alone for a reason, and whether it was looked at again since."""

    event: int
    act: Message
    person_id: str
    person: str
    because: str
    at: datetime
    checked_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class State:
    """Where a preparation stands."""

    job: Job
    lines: tuple[LineState, ...]
    drops: tuple[DropCount, ...] = ()
    stage: Stage = Stage.REQUESTED
    reserved: str = ""
    reserved_at: datetime | None = None
    events: int = 0
    workstation: str = ""
    held: str = ""
    interrupted: bool = False
    last_work: Recorded | None = None
    planner: str = ""
    plan_doubts: tuple[Message, ...] = ()
    makers: tuple[str, ...] = ()
    staged: tuple[Staged, ...] = ()
    vessels: tuple[Vessel, ...] = ()
    ways: tuple[tuple[int, Way], ...] = ()
    surplus: Surplus | None = None
    steps: tuple[Progress, ...] = ()
    timers: tuple[Timer, ...] = ()
    joined: tuple[Joined, ...] = ()
    yielded: Amount | None = None
    tests: tuple[Tested, ...] = ()
    jars: tuple[Jar, ...] = ()
    labels: tuple[JarLabels, ...] = ()
    deviations: tuple[Deviation, ...] = ()
    exemptions: tuple[Exemption, ...] = ()
    corrections: tuple[Recorded, ...] = ()
    transcribed: tuple[str, ...] = ()
    from_paper: int = 0
    fate: str = ""

    @property
    def done_steps(self) -> frozenset[int]:
        """The steps that are done."""
        return frozenset(each.step for each in self.steps if each.done_at is not None)

    @property
    def open_steps(self) -> tuple[int, ...]:
        """The steps that may be done now, and those begun out of order for a signed reason."""
        done = self.done_steps
        excepted = {each.step for each in self.steps if each.excepted}
        return tuple(sorted({*open_steps(self.job.method, done), *(excepted - done)}))

    @property
    def open_timers(self) -> tuple[Timer, ...]:
        """The timers that nobody has stopped."""
        return tuple(each for each in self.timers if each.is_running)

    @property
    def open_deviations(self) -> tuple[Deviation, ...]:
        """The deviations that nobody has decided."""
        return tuple(each for each in self.deviations if each.is_open)

    @property
    def to_decide(self) -> tuple[int, ...]:
        """The lines that hold more than they may: until each is decided the work stops."""
        return tuple(
            line.position
            for line in self.lines
            if standing(line) is Standing.OVER and not line.accepted_because
        )

    @property
    def labels_printed(self) -> int:
        """The labels printed in all."""
        return sum(each.printed for each in self.labels)

    def progress(self, step: int) -> Progress | None:
        """Return how far a step has come, None where it isn't begun."""
        return next((each for each in self.steps if each.step == step), None)

    def is_joined(self, step: int) -> bool:
        """Tell whether the phases that meet at a step were joined."""
        return any(each.step == step for each in self.joined)

    def vessel(self, name: str) -> Vessel | None:
        """Return a vessel that was tared, None where there is none of that name."""
        return next((each for each in self.vessels if each.name == name), None)

    def jar(self, number: int) -> Jar | None:
        """Return a filled jar, None where there is none of that number."""
        return next((each for each in self.jars if each.number == number), None)


def begin(  # noqa: PLR0913  what the shelves and the house say beside the plan, each by name
    content: Content,
    plan: Plan,
    *,
    containers: int,
    house: House | None = None,
    clearance: tuple[str, ...] = (),
    workstation: str = "",
    high_alert: Iterable[int] = (),
    needs_check: Iterable[int] = (),
    controlled: Iterable[int] = (),
    trial: bool = False,
    tests: Iterable[str] = (),
) -> State:
    """Return a requested preparation of a formula by a plan.

    ``high_alert``, ``needs_check`` and ``controlled`` are positions of lines, ``tests`` those of
    the dosage form that the formula doesn't name. After a step back to planning, the same events
    are followed again from the new plan's beginning.
    """
    alert, check, guarded = frozenset(high_alert), frozenset(needs_check), frozenset(controlled)
    job = Job(
        plan=plan,
        method=method_of(content),
        join_difference=difference_of(content),
        containers=containers,
        reads={} if house is None else precisions(house),
        clearance=clearance,
        tests=(*(test.name for test in content.tests), *tests),
        trial=trial,
    )
    lines = tuple(
        line_at_bench(
            i, each, high_alert=i in alert, needs_check=i in check, controlled=i in guarded
        )
        for i, each in enumerate(plan.lines)
    )
    counts = (drops_of(i, each) for i, each in enumerate(plan.lines))
    drops = tuple(count for count in counts if count is not None)
    return State(job, lines, drops, workstation=workstation)


def with_line(state: State, line: LineState) -> State:
    """Return the state with one line replaced."""
    lines = tuple(line if each.position == line.position else each for each in state.lines)
    return replace(state, lines=lines)
