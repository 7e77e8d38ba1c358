"""Take the yield: what there is in the end, against what went in as it was weighed."""

from __future__ import annotations

from typing import Unpack

from formulary.bench.events import YieldTaken
from formulary.bench.state import State
from formulary.bench.true_strength import in_all
from formulary.bench.yield_of import Obtained, Yield, yield_of
from formulary.desk import Desk
from formulary.quantity.amount import Amount
from formulary.verbs.work_at_bench import AtBench, Backing, at_bench, record
from formulary.working import Working


def yield_at_bench(state: State, amount: Amount, residue: Amount | None = None) -> Working[Yield]:
    """Return the yield of an amount, by what went in; what stayed in the vessel isn't part of it.

    Raises :class:`formulary.errors.Refusal` where what was weighed can't be added up.
    """
    theoretical = in_all(state.job.plan, state.lines)
    unit = theoretical.unit
    left = None if residue is None else residue.to(unit)
    return yield_of(Obtained(theoretical, (amount.to(unit),), residue=left))


def take_yield(
    desk: Desk,
    lot: str,
    amount: Amount,
    note: str = "",
    *,
    residue: Amount | None = None,
    **backing: Unpack[Backing],
) -> AtBench:
    """Record the yield; outside its limits it opens a deviation. Raises as the bench refuses.

    With the ``residue`` in the emptied vessel the record says how much is unaccounted for.
    """
    found = yield_at_bench(at_bench(desk.store, lot).state, amount, residue)
    event = YieldTaken(amount, found.result.inside, note, residue)
    return record(desk, lot, event, **backing)
