"""A preparation is what its events make of it, one after the other."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from types import ModuleType

from formulary.bench import (
    rules_control,
    rules_deciding,
    rules_goods,
    rules_labels,
    rules_method,
    rules_mixtures,
    rules_planning,
    rules_vessels,
    rules_weighing,
)
from formulary.bench.applying import Now, apply, refuse
from formulary.bench.events import (
    Cancelled,
    Corrected,
    DeviationDecided,
    DeviationOpened,
    Event,
    HoldLifted,
    LabelsVoided,
    Moved,
    Recorded,
    Rejected,
    SelfChecked,
    TimerStopped,
    Transcribed,
    exception_of,
)
from formulary.bench.rules_paper import require_original
from formulary.bench.stages import ENDS, named
from formulary.bench.state import State
from formulary.errors import Forbidden
from formulary.messages import message

RULES: tuple[ModuleType, ...] = (
    rules_planning,
    rules_vessels,
    rules_weighing,
    rules_mixtures,
    rules_deciding,
    rules_method,
    rules_goods,
    rules_labels,
    rules_control,
)
"""Where each event's rule stands; importing a module is what makes its rules known."""

ALWAYS: tuple[type[Event], ...] = (
    Corrected,
    DeviationDecided,
    DeviationOpened,
    SelfChecked,
    TimerStopped,
    Transcribed,
)
"""What is noted about a preparation even when it is held or has come to its end."""

WHILE_HELD: tuple[type[Event], ...] = (
    *ALWAYS,
    Cancelled,
    HoldLifted,
    LabelsVoided,
    Moved,
    Rejected,
)


def follow(state: State, recorded: Recorded) -> State:
    """Return the state after one more event.

    Raises :class:`formulary.errors.Refusal` where it isn't allowed now, and
    :class:`formulary.errors.Forbidden` where this person may not; nothing has changed then. Which
    post may do which act is not judged here.
    """
    if recorded.number != state.events + 1:
        refuse("event_number", number=recorded.number, wanted=state.events + 1)
    _require_own_signature(recorded)
    require_original(state, recorded)
    event = recorded.event
    if state.stage in ENDS and not isinstance(event, ALWAYS):
        refuse("at_its_end", stage=named(state.stage))
    if state.held and not isinstance(event, WHILE_HELD):
        refuse("held", why=state.held)
    from_paper = state.from_paper + (recorded.original is not None)
    after = apply(event, Now(state, recorded))
    return replace(after, events=recorded.number, from_paper=from_paper)


def follow_all(state: State, events: Iterable[Recorded]) -> State:
    """Return the state after these events in their order."""
    for recorded in events:
        state = follow(state, recorded)
    return state


def _require_own_signature(recorded: Recorded) -> None:
    """Refuse a signature of somebody else, who may sign only that the method isn't followed."""
    signature = recorded.signature
    if exception_of(recorded.event):
        return
    if signature is not None and signature.person_id != recorded.person_id:
        raise Forbidden(
            message("bench.foreign_signature", person=recorded.person, signer=signature.person)
        )
