"""Decide about a line out of tolerance, knowing what vessel, shelf and prices allow."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from formulary.bench.events import LineDecided
from formulary.bench.make_good import MadeGood, Vessel, at_the_bench
from formulary.bench.original import Original
from formulary.bench.out_of_tolerance import WayOut, require_open
from formulary.bench.rules_deciding import batch_total, open_ways
from formulary.bench.state import State
from formulary.desk import Desk
from formulary.ingredient import Ingredient
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density
from formulary.stock.choosing import in_order
from formulary.stock.moves import held_as
from formulary.stock.shelf import Holding
from formulary.verbs.look_up_stock import holdings_of_ingredient
from formulary.verbs.weigh_line import wanted_of
from formulary.verbs.work_at_bench import AtBench, Backing, at_bench, record


def made_good(desk: Desk, lot: str) -> MadeGood:
    """Return what making good means now: what to add, the surplus over the order, what it costs.

    What the shelf holds is what may be weighed from today, by the book.
    """
    work = at_bench(desk.store, lot)
    return _made_good(desk, work.state)


def ways_open(desk: Desk, lot: str, line: int) -> tuple[WayOut, ...]:
    """Return the ways out for a line now, each with its working.

    Making good is among them only where the vessel and what is on the shelf suffice.
    """
    state = at_bench(desk.store, lot).state
    return _ways(desk, state, line)


def decide_line(
    desk: Desk,
    lot: str,
    decision: LineDecided,
    pin: str,
    original: Original | None = None,
    *,
    seen: int | None = None,
) -> AtBench:
    """Decide which way is taken, signed by a pharmacist; it stays on record as a deviation.

    Raises :class:`formulary.errors.Refusal` for a way that isn't open, and
    :class:`formulary.errors.Conflict` where more happened than was ``seen`` with the ways.
    """
    desk.may("decide_line")
    state = at_bench(desk.store, lot).state
    require_open(decision, _ways(desk, state, decision.line))
    backing: Backing = {"pin": pin, "seen": state.events if seen is None else seen}
    if original is not None:
        backing["original"] = original
    return record(desk, lot, decision, **backing)


def _ways(desk: Desk, state: State, line: int) -> tuple[WayOut, ...]:
    good = None if state.joined else _made_good(desk, state)
    return open_ways(state, line, good)


def _made_good(desk: Desk, state: State) -> MadeGood:
    on_hand: dict[int, Amount] = {}
    costs: dict[int, Fraction] = {}
    for line in state.lines:
        if line.target is None:
            continue
        unit, held, density = line.target.unit, *_shelf(desk, state, line.position)
        on_hand[line.position] = _sum(_as_weighed(held, unit, density), unit)
        cost = next(_unit_costs(held, unit, density), None)
        if cost is not None:
            costs[line.position] = cost
    return at_the_bench(
        state.lines,
        total=batch_total(state),
        ordered=state.job.plan.target.ordered,
        vessel=_vessel(state),
        on_hand=on_hand,
        unit_costs=costs,
    )


def _shelf(desk: Desk, state: State, line: int) -> tuple[tuple[Holding, ...], Density | None]:
    """Return what a line may be weighed from today, first to expire first, and its density."""
    wanted = wanted_of(desk, state.job.plan.lines[line].line)
    ingredient = desk.store.get(Ingredient, wanted.ingredient_id)
    held = holdings_of_ingredient(desk.store, wanted.ingredient_id)
    return in_order(held, wanted, desk.today), ingredient.density if ingredient else None


def _as_weighed(held: Iterable[Holding], unit: str, density: Density | None) -> Iterator[Amount]:
    for each in held:
        amount = held_as(each.on_hand, unit, density)
        if amount is not None and amount.number > 0:
            yield amount


def _sum(amounts: Iterable[Amount], unit: str) -> Amount:
    total = Amount(Fraction(0), unit)
    for each in amounts:
        total += each
    return total


def _unit_costs(held: Iterable[Holding], unit: str, density: Density | None) -> Iterator[Fraction]:
    """Yield what one of the unit costs of each lot, first to expire first."""
    for each in held:
        if each.lot.cost is None:
            continue
        bought = held_as(each.lot.cost.per, unit, density)
        if bought is not None:
            yield each.lot.cost.price.number / bought.number


def _vessel(state: State) -> Vessel | None:
    """Return the largest vessel in use whose size is known: that is where all comes together."""
    known = [Vessel(each.name, each.holds) for each in state.vessels if each.holds is not None]
    masses = [each for each in known if each.holds.unit == known[0].holds.unit]
    return max(masses, key=lambda each: each.holds.number, default=None)
