"""The stages of a preparation and which may follow which; none that is required can be skipped."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from formulary.errors import Refusal
from formulary.messages import Message, message


class Stage(StrEnum):
    """How far a preparation has come."""

    REQUESTED = "requested"
    PLANNED = "planned"
    PLAN_CHECKED = "plan checked"
    BENCH_CLEARED = "bench cleared"
    IN_WORK = "in work"
    PACKED = "packed"
    LABELLED = "labelled"
    AWAITING_RELEASE = "awaiting release"
    RELEASED = "released"
    REJECTED = "rejected"
    HANDED_OVER = "handed over"
    CANCELLED = "cancelled"


BEFORE_RELEASE: tuple[Stage, ...] = (
    Stage.REQUESTED,
    Stage.PLANNED,
    Stage.PLAN_CHECKED,
    Stage.BENCH_CLEARED,
    Stage.IN_WORK,
    Stage.PACKED,
    Stage.LABELLED,
    Stage.AWAITING_RELEASE,
)
"""The required stages in their order; each is passed before a release."""

WITH_GOODS = BEFORE_RELEASE[BEFORE_RELEASE.index(Stage.IN_WORK) :]
"""The stages in which there is something to reject."""

NEVER_MADE = frozenset({Stage.REQUESTED, Stage.CANCELLED})
"""The stages in which nothing is there to last: a blank set aside, and what was given up."""

NOT_BEGUN = frozenset({Stage.REQUESTED, Stage.PLANNED, Stage.PLAN_CHECKED, Stage.BENCH_CLEARED})
"""The stages before anything is weighed: the day of making is only foreseen."""

ENDS = frozenset({Stage.REJECTED, Stage.HANDED_OVER, Stage.CANCELLED})

MOVES: Mapping[Stage, frozenset[Stage]] = {
    **{
        stage: frozenset({following, Stage.CANCELLED})
        | (frozenset({Stage.REJECTED}) if stage in WITH_GOODS else frozenset())
        for stage, following in zip(
            BEFORE_RELEASE, (*BEFORE_RELEASE[1:], Stage.RELEASED), strict=True
        )
    },
    Stage.RELEASED: frozenset({Stage.HANDED_OVER}),
    **dict.fromkeys(ENDS, frozenset()),
}
"""The moves forward from each stage. A step back is no move: see :func:`require_step_back`."""


def named(stage: Stage) -> Message:
    """Return the stage's name for a person."""
    return message(f"bench.stage.{stage.name.lower()}")


def require_move(stage: Stage, to: Stage) -> None:
    """Raise :class:`formulary.errors.Refusal` unless ``to`` may follow ``stage``."""
    if to not in MOVES[stage]:
        raise Refusal(message("bench.move", stage=named(stage), to=named(to)))


def require_step_back(stage: Stage, to: Stage) -> None:
    """Raise :class:`formulary.errors.Refusal` unless ``to`` is an earlier stage before release."""
    if stage not in BEFORE_RELEASE or not is_earlier(to, stage):
        raise Refusal(message("bench.step_back.not_earlier", stage=named(stage), to=named(to)))


def is_earlier(one: Stage, other: Stage) -> bool:
    """Tell whether a stage comes before another on the way to release."""
    if one not in BEFORE_RELEASE or other not in BEFORE_RELEASE:
        return False
    return BEFORE_RELEASE.index(one) < BEFORE_RELEASE.index(other)
