"""Fill the containers: which goods they are, and of which lot, goes on record and off the shelf."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Unpack

from formulary.bench.events import ContainersFilled
from formulary.desk import Desk
from formulary.errors import NotFound
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.stock.counting import CountedGood
from formulary.store import Writing
from formulary.verbs.count_goods import take_for
from formulary.verbs.work_at_bench import AtBench, Backing, record


def fill_containers(
    desk: Desk, lot: str, nets: Sequence[Amount], good_id: str = "", **backing: Unpack[Backing]
) -> AtBench:
    """Record what each container holds, and take the containers from the counted goods.

    Goods that the house doesn't count are left out. A book that held fewer is put right and never
    stops the bench. Raises :class:`formulary.errors.NotFound` for goods that aren't there.
    """
    if not good_id:
        return record(desk, lot, ContainersFilled(tuple(nets)), **backing)
    good = desk.store.get(CountedGood, good_id)
    if good is None:
        raise NotFound(message("stock.goods.none_such", goods=good_id))
    event = ContainersFilled(tuple(nets), good.name, good.number)

    def take(writing: Writing, _after: AtBench) -> None:
        take_for(desk, writing, good, len(nets), lot)

    return record(desk, lot, event, also=take, **backing)
