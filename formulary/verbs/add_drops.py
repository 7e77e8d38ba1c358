"""Count a group of drops in: identity first, then the count; the shelf falls by what they are."""

from __future__ import annotations

from fractions import Fraction
from typing import Unpack

from formulary.bench.events import DropsAdded
from formulary.bench.state import State
from formulary.desk import Desk
from formulary.quantity.amount import Amount
from formulary.store import Writing
from formulary.verbs.fit_for_work import day_of
from formulary.verbs.weigh_line import factor_at, staged, take_from, taken_under
from formulary.verbs.work_at_bench import AtBench, Backing, at_bench, record


def add_drops(  # noqa: PLR0913  a group of drops, each by name
    desk: Desk,
    lot: str,
    line: int,
    drops: int,
    container: str,
    *,
    vessel: str = "",
    witness_id: str = "",
    **backing: Unpack[Backing],
) -> AtBench:
    """Record a group of drops of a line, and take what they are from the container's book stock.

    Raises :class:`formulary.errors.Refusal` for a container that isn't right for the line.
    """
    before = at_bench(desk.store, lot)
    held = staged(desk, before, line, container, day_of(desk, backing.get("original")))
    factor = factor_at(desk, before, line, held.lot)
    event = DropsAdded(
        line, drops, held.container.number, held.lot.number, vessel, factor, witness_id
    )
    signatures = taken_under(desk, held, witness_id, backing)

    def take(writing: Writing, _after: AtBench) -> None:
        amount = _what_they_are(before.state, line, drops)
        take_from(desk, writing, before.preparation.lot, held, amount, signatures)

    return record(desk, lot, event, also=take, **backing)


def _what_they_are(state: State, line: int, drops: int) -> Amount:
    """Return what so many drops weigh or measure, as drops where none was calibrated."""
    count = next((each for each in state.drops if each.line == line), None)
    drop = count.drop if count is not None else None
    return Amount(Fraction(drops), "drop") if drop is None else drop * drops
