"""What is decided about a line out of tolerance, and which ways out are still open."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from formulary.bench.applying import (
    Now,
    apply,
    at_work,
    deviating,
    line_at,
    moved,
    refuse,
    require_signed,
    require_text,
)
from formulary.bench.events import Category, LineDecided, Way
from formulary.bench.make_good import MadeGood, at_the_bench
from formulary.bench.out_of_tolerance import (
    Situation,
    WayOut,
    require_open,
    situation_of,
    ways_out,
)
from formulary.bench.stages import Stage
from formulary.bench.state import State, with_line
from formulary.bench.weighing import accept, raise_by, verdict_said
from formulary.errors import Refusal
from formulary.quantity.amount import Amount
from formulary.signing import Meaning


@apply.register
def line_decided(event: LineDecided, now: Now) -> State:
    """The record stopped; somebody decides for a reason, signed, and it stays as a deviation."""
    state = at_work(now)
    require_signed(now, Meaning.DECIDED)
    require_text(event.reason, "reason_missing")
    line = line_at(state, event.line)
    if event.way is Way.MAKE_GOOD and state.joined:
        refuse("line.joined_already")
    require_open(event, open_ways(state, event.line))
    state = deviating(
        state, now, Category.WEIGHING, verdict_said(line), decision=event.reason.strip()
    )
    return _followed(event, _by_way(state, event.way))


def _by_way(state: State, way: Way) -> State:
    """Return the state with the way out that the last deviation was decided by."""
    *before, last = state.deviations
    return replace(state, deviations=(*before, replace(last, way=way)))


def open_ways(state: State, position: int, made_good: MadeGood | None = None) -> tuple[WayOut, ...]:
    """Return the ways out for a line now, with their working.

    A line that is still in its own boat is joined with nothing, so it can be mended; the batch is
    made good only before any phases are joined. ``made_good`` brings what vessel, lots and costs
    mean for that; without it the lines alone are looked at.
    """
    line = line_at(state, position)
    joined = bool(state.joined) and not line.in_own_boat
    good = None if state.joined else made_good or _made_good(state)
    try:
        situation = situation_of(
            state.job.plan,
            state.lines,
            position,
            state.job.reads,
            joined=joined,
            limits=state.job.limits,
        )
    except Refusal:
        # True strengths can't be worked out (a density is missing), so nothing is accepted.
        offered = ways_out(line, Situation(joined, (), state.job.limits), good)
        return tuple(each for each in offered if each.way is not Way.ACCEPT)
    return ways_out(line, situation, good)


def batch_total(state: State) -> Amount:
    """Return what the batch comes to, with all that was made good before."""
    raised = max((each.raised for each in state.lines), default=Fraction(1))
    return state.job.plan.total * raised


def _made_good(state: State) -> MadeGood:
    ordered = state.job.plan.target.ordered
    return at_the_bench(state.lines, total=batch_total(state), ordered=ordered)


def _followed(event: LineDecided, state: State) -> State:
    match event.way:
        case Way.WASTE:
            return replace(state, ways=(*state.ways, (event.line, Way.WASTE)))
        case Way.ADD:
            return state
        case Way.MAKE_GOOD:
            return _raised(event, state)
        case Way.ACCEPT:
            return with_line(state, accept(state.lines[event.line], event.reason))
        case Way.DISCARD:
            return replace(moved(state, Stage.REJECTED), fate=event.reason)


def _raised(event: LineDecided, state: State) -> State:
    """Return the state with every line and count made good; the surplus has its use or waste."""
    if event.factor is None or event.surplus is None:
        refuse("line.surplus_unsaid")
    factor = event.factor
    return replace(
        state,
        surplus=event.surplus,
        lines=tuple(raise_by(line, factor) for line in state.lines),
        drops=tuple(replace(each, needed=each.needed * factor) for each in state.drops),
    )
