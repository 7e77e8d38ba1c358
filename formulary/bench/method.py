"""The method as lanes that run side by side and join, and what each step waits for and weighs.

The steps of a phase are a lane, ordered within itself. A step without a phase, after steps of
phases, is a join: it waits for every lane begun before it in the text. Steps without a phase before
any lane prepare, and every lane waits for them. A step of a phase joins the phases it names.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from formulary.bench.temperatures import Window, window_of
from formulary.bench.timers import Minutes, minutes_of
from formulary.formula.content import Ask, Asked, Content, Line, MethodStep
from formulary.formula.kinds import ToEndPoint, ToFill, ToTotal
from formulary.quantity import units
from formulary.quantity.units import Dimension


@dataclass(frozen=True, slots=True)
class Flow:
    """What flows into a join from one side: phases already united, as they come off their step."""

    phases: tuple[str, ...]
    last_step: int


@dataclass(frozen=True, slots=True)
class BenchStep:
    """A step as the bench holds it to.

    ``waits_for`` are the steps that are done before it, ``brings`` the phases whose contents come
    from those, ``flows`` the sides that meet here where there are at least two. ``opens`` are the
    positions of the lines that may be weighed from this step on, ``closes`` those that are finished
    before it is done.
    """

    position: int
    step: MethodStep
    waits_for: frozenset[int]
    flows: tuple[Flow, ...] = ()
    opens: tuple[int, ...] = ()
    closes: tuple[int, ...] = ()
    brings: tuple[str, ...] = ()

    @property
    def is_late_addition(self) -> bool:
        """Whether its lines go into something begun before, and are weighed while that cools."""
        return bool(self.opens and self.waits_for)

    @property
    def window(self) -> Window | None:
        """The step's temperature window, where it has one."""
        return window_of(self.step)

    @property
    def minutes(self) -> Minutes | None:
        """How long it takes, where that is said."""
        return minutes_of(self.step)

    @property
    def asks(self) -> tuple[Ask, ...]:
        """What must be answered: what the step asks, and the temperature where a limit is set.

        A join asks for the temperatures of its sides instead.
        """
        asked = self.step.asks
        window = self.window
        limited = self.step.lowest is not None or self.step.highest is not None
        already = any(ask.what is Asked.TEMPERATURE for ask in asked)
        if already or self.flows or window is None or not (limited or self.is_late_addition):
            return asked
        return (Ask(Asked.TEMPERATURE, "", window.lowest, window.highest), *asked)


@dataclass(frozen=True, slots=True)
class Lane:
    """The steps of one phase, or of none, by position in the text."""

    code: str
    name: str
    steps: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Method:
    """All steps in the order of the text, and the lanes they stand in."""

    steps: tuple[BenchStep, ...]
    lanes: tuple[Lane, ...]


def method_of(content: Content) -> Method:
    """Return the method of a formula, with each line at the step that needs it."""
    steps = _at_their_steps(content, _ordered(content.steps))
    return Method(steps, _lanes(content))


def open_steps(method: Method, done: Iterable[int]) -> tuple[int, ...]:
    """Return the steps that may be done now, given those that are done."""
    finished = frozenset(done)
    return tuple(
        each.position
        for each in method.steps
        if each.position not in finished and each.waits_for <= finished
    )


def opening_step(method: Method, line: int) -> int | None:
    """Return the step from which a line may be weighed, None in a method without steps."""
    return next((each.position for each in method.steps if line in each.opens), None)


def closing_step(method: Method, line: int) -> int | None:
    """Return the step that needs a line finished, None in a method without steps."""
    return next((each.position for each in method.steps if line in each.closes), None)


def _lanes(content: Content) -> tuple[Lane, ...]:
    names = {phase.code: phase.name for phase in content.phases}
    codes = dict.fromkeys(step.phase for step in content.steps)
    return tuple(
        Lane(
            code,
            names.get(code, ""),
            tuple(i for i, step in enumerate(content.steps) if step.phase == code),
        )
        for code in codes
    )


# The order


@dataclass
class _Walk:
    """Where each phase's contents are as the text goes on: the step they last passed through."""

    flows: dict[str, Flow] = field(default_factory=dict)
    prepared: frozenset[int] = frozenset()

    def sides(self, codes: Iterable[str]) -> tuple[Flow, ...]:
        """Return what comes from these phases, each united bulk once."""
        return tuple(dict.fromkeys(self.flows[code] for code in codes if code in self.flows))

    def unite(self, sides: Sequence[Flow], code: str, position: int) -> None:
        united = tuple(dict.fromkeys(phase for side in sides for phase in side.phases))
        phases = united if code in united or not code else (*united, code)
        for phase in phases:
            self.flows[phase] = Flow(phases, position)


def _ordered(steps: Sequence[MethodStep]) -> tuple[BenchStep, ...]:
    walk, ordered = _Walk(), []
    for position, step in enumerate(steps):
        preparing = not step.phase and not walk.flows
        sides = walk.sides(_flowing_in(walk, step))
        waits = frozenset(side.last_step for side in sides) or walk.prepared
        flows = sides if len(sides) > 1 else ()
        brings = tuple(phase for side in sides for phase in side.phases)
        ordered.append(BenchStep(position, step, waits, flows, brings=brings))
        if preparing:
            walk.prepared = frozenset({position})
        else:
            walk.unite(sides, step.phase, position)
    return tuple(ordered)


def _flowing_in(walk: _Walk, step: MethodStep) -> tuple[str, ...]:
    return (step.phase, *step.joins) if step.phase else tuple(walk.flows)


# The lines


def _at_their_steps(content: Content, steps: tuple[BenchStep, ...]) -> tuple[BenchStep, ...]:
    if not steps:
        return steps
    spans = [_span(line, steps) for line in content.lines]
    return tuple(
        replace(
            each,
            opens=tuple(i for i, (first, _) in enumerate(spans) if first == each.position),
            closes=tuple(i for i, (_, last) in enumerate(spans) if last == each.position),
        )
        for each in steps
    )


def _span(line: Line, steps: tuple[BenchStep, ...]) -> tuple[int, int]:
    """Return the steps at which a line may first be weighed, and by which it is finished.

    A line that is added as needed or up to a mark goes in by and by, so only its lane's last step
    needs it finished; so does one of a phase that no step is about.
    """
    named = [each.position for each in steps if line.ingredient in each.step.adds]
    if named:
        return named[0], named[-1]
    own = [each.position for each in steps if each.step.phase == line.phase]
    own = own or [each.position for each in steps if line.phase in each.step.joins]
    if own:
        return own[0], own[-1] if _goes_in_by_and_by(line) else own[0]
    if not line.phase:
        return 0, len(steps) - 1 if _goes_in_by_and_by(line) else 0
    unphased = [each.position for each in steps if not each.step.phase]
    return (unphased or [0])[0], len(steps) - 1


def _goes_in_by_and_by(line: Line) -> bool:
    match line.quantity:
        case ToEndPoint() | ToFill():
            return True
        case ToTotal(total):
            return units.dimension(total.unit) is Dimension.VOLUME
        case _:
            return False
