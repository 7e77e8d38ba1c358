"""Joining phases: each side's temperature against its window, the difference against its limit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from formulary.bench.method import BenchStep, Flow, Method
from formulary.bench.temperatures import Window
from formulary.errors import Refusal
from formulary.formula.content import Content
from formulary.messages import Message, message

DEFAULT_DIFFERENCE = Fraction(5)
"""By how many °C phases may differ where the formula doesn't say (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class SideTemperature:
    """The temperature in °C of what flows in from one side, named by its phases ("A", "A+B")."""

    side: str
    degrees: Fraction


@dataclass(frozen=True, slots=True)
class JoinRule:
    """What holds at one join: the window of each side, and by how much sides may differ.

    ``difference`` is None at a late addition with a ceiling: there the bulk has to be cool enough,
    and what goes in may be cooler still.
    """

    step: int
    windows: tuple[tuple[str, Window], ...]
    difference: Fraction | None

    @property
    def sides(self) -> tuple[str, ...]:
        """The sides whose temperature is asked for."""
        return tuple(side for side, _ in self.windows)


def side_name(flow: Flow) -> str:
    """Return what a side is called: its phases."""
    return "+".join(flow.phases)


def difference_of(content: Content) -> Fraction:
    """Return by how many °C phases may differ: the formula's own limit, or the default."""
    return DEFAULT_DIFFERENCE if content.join_difference is None else content.join_difference


def rule_of(method: Method, position: int, difference: Fraction) -> JoinRule | None:
    """Return what holds at a step, None where nothing is joined there."""
    step = method.steps[position]
    if not step.flows:
        return None
    ceiling = step.window is not None and step.window.highest is not None
    late = ceiling and any(len(flow.phases) > 1 for flow in step.flows)
    windows = tuple((side_name(flow), _window(method, step, flow)) for flow in step.flows)
    return JoinRule(position, windows, None if late else difference)


def _window(method: Method, step: BenchStep, flow: Flow) -> Window:
    """Return a side's window: a united bulk's is the join's own, a phase's that of its last step.

    A phase that names none is held to the ceiling of the join alone.
    """
    join = step.window or Window()
    if len(flow.phases) > 1:
        return join
    return method.steps[flow.last_step].window or Window(None, join.highest)


def doubts(rule: JoinRule, entered: Sequence[SideTemperature]) -> tuple[Message, ...]:
    """Return what speaks against joining now, in sentences; nothing if all is right.

    Raises :class:`formulary.errors.Refusal` where a side's temperature is missing or is of no side.
    """
    degrees = _by_side(rule, entered)
    wrong = [
        _outside(side, degrees[side], window)
        for side, window in rule.windows
        if not window.holds(degrees[side])
    ]
    return (*wrong, *_too_far_apart(rule, degrees))


def _by_side(rule: JoinRule, entered: Sequence[SideTemperature]) -> Mapping[str, Fraction]:
    degrees = {each.side: each.degrees for each in entered}
    for side in rule.sides:
        if side not in degrees:
            raise Refusal(message("bench.join.missing", side=side))
    for side in degrees:
        if side not in rule.sides:
            raise Refusal(message("bench.join.no_such_side", side=side))
    return degrees


def _outside(side: str, degrees: Fraction, window: Window) -> Message:
    return message("bench.join.outside", side=side, degrees=degrees, window=said_window(window))


def _too_far_apart(rule: JoinRule, degrees: Mapping[str, Fraction]) -> tuple[Message, ...]:
    if rule.difference is None:
        return ()
    return tuple(
        message(
            "bench.join.difference",
            side=one,
            other=other,
            difference=abs(degrees[one] - degrees[other]),
            allowed=rule.difference,
        )
        for one, other in combinations(rule.sides, 2)
        if abs(degrees[one] - degrees[other]) > rule.difference
    )


def said_window(window: Window) -> Message:
    """Return a window for a person."""
    match window:
        case Window(None, None):
            return message("bench.window.any")
        case Window(None, highest) if highest is not None:
            return message("bench.window.at_most", highest=highest)
        case Window(lowest, None) if lowest is not None:
            return message("bench.window.at_least", lowest=lowest)
        case Window(lowest, highest):
            return message("bench.window.between", lowest=lowest or 0, highest=highest or 0)
