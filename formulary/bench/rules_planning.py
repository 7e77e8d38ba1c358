"""Planning, the check of the plan by another person, and clearing the bench."""

from __future__ import annotations

from dataclasses import replace

from formulary.bench.applying import (
    Now,
    apply,
    deviating,
    exempted,
    moved,
    refuse,
    require_signed,
    require_stage,
    require_text,
)
from formulary.bench.events import BenchCleared, Category, PlanChecked, Planned, Reserved
from formulary.bench.second_look import Doubt, doubts_about
from formulary.bench.stages import Stage
from formulary.bench.state import State
from formulary.errors import Forbidden
from formulary.messages import message
from formulary.signing import Meaning


@apply.register
def reserved(event: Reserved, now: Now) -> State:
    """A lot is set aside for paper only before anything else happened, and for a reason."""
    require_stage(now.state, Stage.REQUESTED)
    require_text(event.reason, "reason_missing")
    at = now.recorded.at
    return replace(now.state, reserved=event.reason.strip(), reserved_at=at)


@apply.register
def planned(_event: Planned, now: Now) -> State:
    """Whoever plans can't check the plan."""
    return replace(moved(now.state, Stage.PLANNED), planner=now.recorded.person_id)


@apply.register
def plan_checked(event: PlanChecked, now: Now) -> State:
    """Calculations are repeated by another person, or alone for a signed reason.

    A figure that was worked out otherwise leaves the plan unchecked, and stays as a deviation.
    """
    state = moved(now.state, Stage.PLAN_CHECKED)
    require_signed(now, Meaning.CHECKED)
    alone = now.recorded.person_id == state.planner
    if alone and not now.alone_because:
        raise Forbidden(message("bench.plan.same_person", person=now.recorded.person))
    doubts = doubts_about(state.job.plan, event.figures, state.job.reads) if event.figures else ()
    if doubts:
        return _doubted(now, doubts)
    state = replace(state, plan_doubts=())
    return exempted(state, now, "plan_checked") if alone else state


def _doubted(now: Now, doubts: tuple[Doubt, ...]) -> State:
    state = replace(now.state, plan_doubts=tuple(each.told for each in doubts))
    for each in doubts:
        state = deviating(state, now, Category.CHECK, each.on_record)
    return state


@apply.register
def bench_cleared(event: BenchCleared, now: Now) -> State:
    """Every item of the house's list is ticked."""
    state = moved(now.state, Stage.BENCH_CLEARED)
    for item in state.job.clearance:
        if item not in event.ticks:
            refuse("clearance.not_ticked", item=item)
    return state
