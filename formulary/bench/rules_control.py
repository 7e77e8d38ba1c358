"""Deviations, holds, steps back, moves between workstations, marks, and looking again alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from formulary.bench.applying import (
    Now,
    apply,
    deviating,
    moved,
    refuse,
    require_signed,
    require_text,
)
from formulary.bench.events import (
    Cancelled,
    Corrected,
    DeviationDecided,
    DeviationOpened,
    Held,
    HoldLifted,
    Moved,
    SelfChecked,
    SteppedBack,
    Transcribed,
)
from formulary.bench.stages import Stage, is_earlier, require_step_back
from formulary.bench.state import State
from formulary.errors import Forbidden
from formulary.messages import message
from formulary.signing import Meaning


@apply.register
def deviation_opened(event: DeviationOpened, now: Now) -> State:
    """What went otherwise than written is said."""
    require_text(event.what, "deviation.unsaid")
    what = message("bench.words", text=event.what)
    return deviating(now.state, now, event.category, what, impact=event.impact)


@apply.register
def deviation_decided(event: DeviationDecided, now: Now) -> State:
    """An open deviation is decided once, in words and signed."""
    require_signed(now, Meaning.DECIDED)
    require_text(event.decision, "reason_missing")
    is_open = {each.number: each for each in now.state.open_deviations}
    if event.deviation not in is_open:
        refuse("deviation.not_open", number=event.deviation)
    decided = replace(
        is_open[event.deviation], decision=event.decision, decided_by=now.recorded.person_id
    )
    deviations = tuple(
        decided if each.number == event.deviation else each for each in now.state.deviations
    )
    return replace(now.state, deviations=deviations)


@apply.register
def held(event: Held, now: Now) -> State:
    """A preparation is held for a reason; a released one too, as in a recall."""
    require_text(event.reason, "reason_missing")
    if now.state.held:
        refuse("hold.held_already", why=now.state.held)
    return replace(now.state, held=event.reason.strip())


@apply.register
def hold_lifted(event: HoldLifted, now: Now) -> State:
    """A hold is lifted for a reason."""
    require_text(event.reason, "reason_missing")
    if not now.state.held:
        refuse("hold.not_held")
    return replace(now.state, held="")


@apply.register
def cancelled(event: Cancelled, now: Now) -> State:
    """Before release only; what was weighed already has a fate."""
    state = moved(now.state, Stage.CANCELLED)
    require_text(event.reason, "reason_missing")
    if any(line.readings for line in state.lines):
        require_text(event.fate, "fate_missing")
    return replace(state, fate=event.fate)


@apply.register
def stepped_back(event: SteppedBack, now: Now) -> State:
    """An earlier stage for a reason; what it has to give again is empty, the events stay.

    Once something is weighed its plan stands, and jars with labels on them stay jars.
    """
    state = now.state
    require_text(event.reason, "reason_missing")
    require_step_back(state.stage, event.to)
    if is_earlier(event.to, Stage.IN_WORK) and any(line.readings for line in state.lines):
        refuse("step_back.weighed")
    if is_earlier(event.to, Stage.PACKED):
        if any(each.printed > each.void for each in state.labels):
            refuse("step_back.labels_in_force")
        state = replace(state, jars=(), yielded=None)
    return replace(state, stage=event.to)


@apply.register
def moved_to(event: Moved, now: Now) -> State:
    """Work goes on at another workstation."""
    require_text(event.workstation, "workstation_missing")
    return replace(now.state, workstation=event.workstation.strip())


@apply.register
def transcribed(event: Transcribed, now: Now) -> State:
    """The record is marked as written on paper first."""
    require_text(event.sheet, "sheet_missing")
    return replace(now.state, transcribed=(*now.state.transcribed, event.sheet))


@apply.register
def corrected(event: Corrected, now: Now) -> State:
    """An earlier event gets what it should have said beside it, with the reason."""
    require_text(event.says, "correction.unsaid")
    require_text(event.reason, "reason_missing")
    if not 0 < event.event <= now.state.events:
        refuse("no_such_event", number=event.event)
    return replace(now.state, corrections=(*now.state.corrections, now.recorded))


@apply.register
def self_checked(event: SelfChecked, now: Now) -> State:
    """Who acted alone looks again, not at once, and signs."""
    require_signed(now, Meaning.SELF_CHECKED)
    waiting = {each.event: each for each in now.state.exemptions if each.checked_at is None}
    if event.event not in waiting:
        refuse("self_check.nothing", number=event.event)
    exemption = waiting[event.event]
    if exemption.person_id != now.recorded.person_id:
        raise Forbidden(message("bench.self_check.other_person", person=exemption.person))
    minutes = now.state.job.self_check_minutes
    if now.recorded.at < exemption.at + timedelta(minutes=minutes):
        refuse("self_check.too_soon", minutes=minutes)
    checked = replace(exemption, checked_at=now.recorded.at)
    exemptions = tuple(checked if each is exemption else each for each in now.state.exemptions)
    return replace(now.state, exemptions=exemptions)
