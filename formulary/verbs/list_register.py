"""The register as it is listed: what was started, with what a recall reached marked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from formulary.bench.stages import BEFORE_RELEASE, Stage
from formulary.messages import Message, message
from formulary.register.shelf import reached_by
from formulary.stock.recall import Recall
from formulary.store import Reading, RegisterRow, Sorting
from formulary.verbs.date_preparation import use_by_so_far


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked for: words that are all contained, a stage or only what is recalled."""

    text: str = ""
    stage: Stage | None = None
    recalled: bool = False
    sorting: Sorting = Sorting.NEWEST


def list_register(
    store: Reading, wanted: Wanted, limit: int, offset: int = 0
) -> Sequence[RegisterRow]:
    """Return one page of the register in the order asked for."""
    reached = reached_by(store.every(Recall))
    rows = store.register(
        wanted.text,
        limit,
        offset,
        wanted.stage,
        wanted.sorting,
        among=reached if wanted.recalled else None,
    )
    marked = (replace(each, recalled=each.preparation_id in reached) for each in rows)
    return [_as_weighed(store, each) for each in marked]


def _as_weighed(store: Reading, row: RegisterRow) -> RegisterRow:
    """Return a row with the last day of use that what was weighed leaves while it is in work."""
    if row.stage is not Stage.IN_WORK:
        return row
    return replace(row, use_by=use_by_so_far(store, row.lot, row.use_by))


def mark_of(stage: Stage, *, recalled: bool) -> Message | None:
    """Return how a recall marks what it reached: open work is frozen, what was made recalled."""
    if not recalled:
        return None
    return message(f"stock.standing.{'frozen' if stage in BEFORE_RELEASE else 'recalled'}")
