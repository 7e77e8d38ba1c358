"""What was thrown away while a preparation was made: out of boats, or left over at the end."""

from __future__ import annotations

from dataclasses import dataclass

from formulary.bench.events import Surplus
from formulary.bench.rules_deciding import batch_total
from formulary.bench.state import State
from formulary.quantity.amount import Amount


@dataclass(frozen=True, slots=True)
class Wasted:
    """What was taken out of a line's boat again; the shelf had fallen by it when it was weighed."""

    position: int
    ingredient: str
    container: str
    lot: str
    amount: Amount


def wasted(state: State) -> tuple[Wasted, ...]:
    """Return what went to waste of each line, container by container."""
    return tuple(
        Wasted(line.position, line.ingredient, each.container, each.lot, each.wasted)
        for line in state.lines
        for each in line.portions
        if each.wasted.number
    )


def surplus_wasted(state: State) -> Amount | None:
    """Return what making good left over the order, where that was to be waste; else None."""
    if state.surplus is not Surplus.WASTE:
        return None
    ordered, total = state.job.plan.target.ordered, batch_total(state)
    return total - ordered
