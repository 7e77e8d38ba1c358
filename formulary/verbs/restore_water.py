"""Restore water that evaporated; where it comes from a container, its book falls by as much."""

from __future__ import annotations

from dataclasses import replace
from typing import Unpack

from formulary.bench.events import WaterRestored
from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.stock.container import obstacle
from formulary.store import Writing
from formulary.verbs.look_up_stock import container_numbered, holding_of
from formulary.verbs.weigh_line import take_from
from formulary.verbs.work_at_bench import AtBench, Backing, record


def restore_water(
    desk: Desk, lot: str, event: WaterRestored, **backing: Unpack[Backing]
) -> AtBench:
    """Record what was added, and take it from the container's book where one is named.

    Water from the tap of the house's own plant has no container. Raises
    :class:`formulary.errors.Refusal` for a container that nothing may be taken from.
    """
    if not event.container.strip():
        return record(desk, lot, event, **backing)
    held = holding_of(desk.store, container_numbered(desk.store, event.container))
    said = obstacle(held.container, held.lot, desk.today)
    if said is not None:
        raise Refusal(said)
    told = replace(event, container=held.container.number, lot=held.lot.number)

    def take(writing: Writing, _after: AtBench) -> None:
        take_from(desk, writing, lot, held, event.amount)

    return record(desk, lot, told, also=take, **backing)
