"""What can be done about a weighing outside its band; a pharmacist decides, with the working shown.

Before phases are joined a line can be mended or the batch made good; after that it can only be
accepted inside the limits of its strengths, or rejected. Nothing is ever overwritten.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from formulary.bench.events import LineDecided, Way
from formulary.bench.make_good import MadeGood
from formulary.bench.true_strength import (
    USUAL_LIMITS,
    Precision,
    StrengthLimits,
    TrueStrength,
    true_strengths,
)
from formulary.bench.weighing import (
    LineState,
    Standing,
    judged,
    remaining,
    shown,
    standing,
    verdict_said,
    window,
)
from formulary.errors import Refusal
from formulary.messages import Message, message
from formulary.scaling.plan import Plan


@dataclass(frozen=True, slots=True)
class WayOut:
    """One way out with its working; ``factor`` is that of making good.

    Once phases are joined, discarding is rejecting the preparation.
    """

    way: Way
    working: tuple[Message, ...]
    factor: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Situation:
    """All that says which ways are open, as :func:`situation_of` works it out.

    ``strengths`` are the true ones if the line is taken as it is.
    """

    joined: bool
    strengths: tuple[TrueStrength, ...] = ()
    limits: StrengthLimits = USUAL_LIMITS


def situation_of(
    plan: Plan,
    states: Sequence[LineState],
    position: int,
    reads: Mapping[str, Precision],
    *,
    joined: bool,
    limits: StrengthLimits = USUAL_LIMITS,
) -> Situation:
    """Return the situation of the line at a position, its strengths as if it stayed as it is."""
    as_it_is = [
        replace(each, accepted_because="?") if each.position == position else each
        for each in states
    ]
    return Situation(joined, true_strengths(plan, as_it_is, reads), limits)


def needs_decision(state: LineState, *, joined: bool = False) -> bool:
    """Whether the record stops here: too much, or too little once phases are joined."""
    where = standing(state)
    stops = where is Standing.OVER or (joined and where is Standing.UNDER)
    return stops and not state.accepted_because


def ways_out(
    state: LineState, situation: Situation, made_good: MadeGood | None = None
) -> tuple[WayOut, ...]:
    """Return the ways open for a line outside its band or disputed, else none.

    ``made_good`` is what making good would mean; it is offered only where vessel and lots suffice.
    """
    where = standing(state)
    if state.disputed is not None and where is Standing.INSIDE:
        return tuple(_after_dispute(state, state.disputed))
    if where not in (Standing.OVER, Standing.UNDER) or state.accepted_because:
        return ()
    verdict = verdict_said(state)
    accepting = tuple(_accept(verdict, situation))
    if situation.joined:
        return (*accepting, WayOut(Way.DISCARD, (verdict, _ways("joined"))))
    mending = _add_more(state) if where is Standing.UNDER else _take_back(state, made_good)
    return (*mending, *accepting, WayOut(Way.DISCARD, (verdict, _ways("discard"))))


def require_open(decision: LineDecided, offered: Sequence[WayOut]) -> None:
    """Refuse a decision that isn't among the ways open, or whose factor isn't the one shown."""
    way = next((each for each in offered if each.way is decision.way), None)
    if way is None:
        raise Refusal(message("bench.ways.not_open"))
    if way.factor != decision.factor:
        raise Refusal(message("bench.ways.other_factor"))


def _after_dispute(state: LineState, disputed: Message) -> Iterator[WayOut]:
    """Yield what is left where two people saw different things, if no further look settles it."""
    if state.in_own_boat:
        yield WayOut(Way.WASTE, (disputed, _ways("remove_all")))
    yield WayOut(Way.DISCARD, (disputed, _ways("discard")))


def _accept(verdict: Message, situation: Situation) -> Iterator[WayOut]:
    if all(each.inside(situation.limits) for each in situation.strengths):
        limits = message(
            "bench.ways.within", least=situation.limits.least, most=situation.limits.most
        )
        yield WayOut(Way.ACCEPT, (verdict, *(each.said for each in situation.strengths), limits))


def _add_more(state: LineState) -> Iterator[WayOut]:
    found = remaining(state)
    yield WayOut(Way.ADD, (verdict_said(state), *found.steps))


def _take_back(state: LineState, made: MadeGood | None) -> Iterator[WayOut]:
    if state.in_own_boat:
        yield WayOut(Way.WASTE, (verdict_said(state), _removing(state)))
    if made is not None and made.possible and made.factor > 1:
        yield WayOut(Way.MAKE_GOOD, made.steps, made.factor)


def _removing(state: LineState) -> Message:
    """Return what to take out; of two containers in one boat nobody knows, so all of it."""
    verdict, expected = judged(state), window(state)
    mixed = sum(bool(each.net.number) for each in state.portions) > 1
    if mixed or verdict is None or expected is None:
        return _ways("remove_all")
    return message(
        "bench.ways.remove",
        difference=shown(verdict.difference),
        target=shown(expected.target),
    )


def _ways(rest: str) -> Message:
    return message(f"bench.ways.{rest}")
