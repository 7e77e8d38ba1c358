"""What every event's rule shares: the moment it acts in, and the sentences that refuse it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import singledispatch
from typing import NoReturn

from formulary.bench.events import Category, Recorded
from formulary.bench.stages import Stage, named, require_move
from formulary.bench.state import Deviation, Exemption, State
from formulary.bench.weighing import LineState
from formulary.errors import Forbidden, Refusal
from formulary.messages import Message, Parameter, message
from formulary.signing import Meaning


@dataclass(frozen=True, slots=True)
class Now:
    """A preparation as it stands, and what is being recorded of it."""

    state: State
    recorded: Recorded

    @property
    def alone_because(self) -> str:
        """The signed reason for which nobody else could act; empty where somebody could."""
        signature = self.recorded.signature
        return signature.alone_because.strip() if signature else ""


@singledispatch
def apply(event: object, now: Now) -> State:
    """Return what an event makes of the state. Raises Refusal where it isn't allowed now."""
    raise TypeError(f"{type(event).__name__} at event {now.recorded.number} has no rule")


def refuse(key: str, /, **parameters: Parameter) -> NoReturn:
    """Raise the refusal that says this."""
    raise Refusal(message(f"bench.{key}", **parameters))


def require_text(text: str, key: str, **parameters: Parameter) -> None:
    """Refuse where a reason or a name is left empty."""
    if not text.strip():
        refuse(key, **parameters)


def require_stage(state: State, *stages: Stage) -> None:
    """Refuse unless the preparation is at one of these stages."""
    if state.stage not in stages:
        refuse("not_at_this_stage", stage=named(state.stage))


def require_signed(now: Now, meaning: Meaning) -> None:
    """Refuse unless the event carries its person's signature with this meaning."""
    signature = now.recorded.signature
    if signature is None or signature.meaning is not meaning:
        raise Forbidden(message("bench.not_signed", meaning=meaning.value))


def require_nothing_over(state: State) -> None:
    """Refuse while a line holds more than it may and nobody has decided."""
    for position in state.to_decide:
        refuse("line.decide_first", ingredient=state.lines[position].ingredient)


def moved(state: State, to: Stage) -> State:
    """Return the state at the next stage."""
    require_move(state.stage, to)
    return replace(state, stage=to)


def at_work(now: Now) -> State:
    """Return the state in work; the first act on a cleared bench begins it.

    Whoever acts here is a maker, and this is where the bench was.
    """
    state, recorded = now.state, now.recorded
    if state.stage is Stage.BENCH_CLEARED:
        state = moved(state, Stage.IN_WORK)
    require_stage(state, Stage.IN_WORK)
    return replace(made_by(state, recorded), last_work=recorded, interrupted=False)


def made_by(state: State, recorded: Recorded) -> State:
    """Return the state with the person among its makers."""
    if recorded.done_by in state.makers:
        return state
    return replace(state, makers=(*state.makers, recorded.done_by))


def line_at(state: State, position: int) -> LineState:
    """Return a line. Refuses a position that the formula doesn't have."""
    if not 0 <= position < len(state.lines):
        refuse("no_such_line", number=position + 1)
    return state.lines[position]


def deviating(
    state: State,
    now: Now,
    category: Category,
    what: Message,
    *,
    impact: str = "",
    decision: str = "",
) -> State:
    """Return the state with one more deviation, decided by who signed if a decision is given."""
    deviation = Deviation(
        number=len(state.deviations) + 1,
        event=now.recorded.number,
        category=category,
        what=what,
        impact=impact,
        decision=decision,
        decided_by=_decider(now.recorded) if decision else "",
    )
    return replace(state, deviations=(*state.deviations, deviation))


def _decider(recorded: Recorded) -> str:
    return recorded.signature.person_id if recorded.signature else recorded.person_id


def exempted(state: State, now: Now, act: str) -> State:
    """Return the state with an exemption for an act that this person did alone."""
    recorded = now.recorded
    exemption = Exemption(
        event=recorded.number,
        act=message(f"bench.alone.{act}"),
        person_id=recorded.person_id,
        person=recorded.person,
        because=now.alone_because,
        at=recorded.at,
    )
    return replace(state, exemptions=(*state.exemptions, exemption))
