"""Make a trituration, dilution or stock solution beside; the shelf falls by all that went in."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Unpack

from formulary.bench.events import MixtureMade
from formulary.bench.reading import Reading
from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.stock.container import obstacle
from formulary.stock.shelf import Holding
from formulary.store import Writing
from formulary.verbs.fit_for_work import day_of
from formulary.verbs.look_up_stock import container_numbered, holding_of
from formulary.verbs.weigh_line import (
    mixture_factor,
    require_fit_balance,
    staged,
    take_from,
    taken_under,
)
from formulary.verbs.work_at_bench import AtBench, Backing, at_bench, record


def make_mixture(desk: Desk, lot: str, event: MixtureMade, **backing: Unpack[Backing]) -> AtBench:
    """Record what a line's mixture was made of, and take it from the books of both containers.

    The part that goes in is weighed from the mixture, so the shelf falls by no more for it. What is
    right follows the lot that was used (:func:`formulary.bench.mixtures.mixture_of`). Raises
    :class:`formulary.errors.Refusal` for a container that isn't right or an unfit balance.
    """
    before, day = at_bench(desk.store, lot), day_of(desk, backing.get("original"))
    held = staged(desk, before, event.line, event.taken.container, day)
    diluent = _diluent(desk, before, event, day)
    for reading in (event.taken, event.diluent):
        require_fit_balance(desk, reading, day=day)
    told = replace(
        event,
        taken=_named(event.taken, held),
        diluent=_named(event.diluent, diluent),
        factor=mixture_factor(desk, before, event.line, held.lot),
    )
    signatures = taken_under(desk, held, event.taken.witness_id, backing)
    others = taken_under(desk, diluent, event.taken.witness_id, backing)

    def take(writing: Writing, _after: AtBench) -> None:
        made = before.preparation.lot
        take_from(desk, writing, made, held, told.taken.amount, signatures)
        take_from(desk, writing, made, diluent, told.diluent.amount, others)

    return record(desk, lot, told, also=take, **backing)


def _named(reading: Reading, held: Holding) -> Reading:
    return replace(reading, container=held.container.number, lot=held.lot.number)


def _diluent(desk: Desk, before: AtBench, event: MixtureMade, day: date) -> Holding:
    """Return the diluent's container: of the line that gives it, where one does."""
    plan = before.state.job.plan.lines[event.line].sub_plan
    number = event.diluent.container
    if plan is not None and plan.giver is not None:
        return staged(desk, before, plan.giver, number, day)
    held = holding_of(desk.store, container_numbered(desk.store, number))
    said = obstacle(held.container, held.lot, day)
    if said is not None:
        raise Refusal(said)
    return held
