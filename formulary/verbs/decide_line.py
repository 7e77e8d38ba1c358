"""Decide about a line out of tolerance, knowing what vessel, shelf and prices allow."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction

from formulary.bench.events import LineDecided
from formulary.bench.make_good import MadeGood, Vessel, at_the_bench
from formulary.bench.original import Original
from formulary.bench.out_of_tolerance import WayOut, require_open
from formulary.bench.rules_deciding import batch_total, open_ways
from formulary.bench.state import State
from formulary.desk import Desk
from formulary.finding import Finding
from formulary.ingredient import Ingredient
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density
from formulary.quantity.money import Money
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
    return _made_good(desk, at_bench(desk.store, lot))


def ways_open(desk: Desk, lot: str, line: int) -> tuple[WayOut, ...]:
    """Return the ways out for a line now, each with its working.

    Making good is among them only where the vessel and what is on the shelf suffice.
    """
    return _ways(desk, at_bench(desk.store, lot), line)


def doubts_of_making_good(desk: Desk, lot: str) -> tuple[Finding, ...]:
    """Return why making good isn't offered now, or what to look at before it is decided.

    Nothing where it is no way out at all: nothing is over, or phases are joined.
    """
    work = at_bench(desk.store, lot)
    if work.state.joined:
        return ()
    found = _made_good(desk, work)
    return found.findings if found.factor > 1 else ()


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
    work = at_bench(desk.store, lot)
    require_open(decision, _ways(desk, work, decision.line))
    backing: Backing = {"pin": pin, "seen": work.state.events if seen is None else seen}
    if original is not None:
        backing["original"] = original
    return record(desk, lot, decision, **backing)


def _ways(desk: Desk, work: AtBench, line: int) -> tuple[WayOut, ...]:
    good = None if work.state.joined else _made_good(desk, work)
    return open_ways(work.state, line, good)


def _made_good(desk: Desk, work: AtBench) -> MadeGood:
    state = work.state
    on_hand: dict[int, Amount] = {}
    costs: dict[int, Money] = {}
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
        vessel=_vessel(state, work.content.density),
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


def _unit_costs(held: Iterable[Holding], unit: str, density: Density | None) -> Iterator[Money]:
    """Yield what one of the unit costs of each lot, first to expire first."""
    for each in held:
        if each.lot.cost is None:
            continue
        bought = held_as(each.lot.cost.per, unit, density)
        if bought is not None:
            price = each.lot.cost.price
            yield replace(price, number=price.number / bought.number)


def _vessel(state: State, density: Density | None) -> Vessel | None:
    """Return the largest vessel in use, since that is where all comes together.

    One whose size nobody said may be that one, so it is what has to be looked at.
    """
    unit = batch_total(state).unit
    sized = [Vessel(each.name, _as_batch(each.holds, unit, density)) for each in state.vessels]
    unsized = (each for each in sized if each.holds is None or each.holds.unit != unit)
    largest = max(sized, key=lambda each: each.holds.number if each.holds else 0, default=None)
    return next(unsized, largest)


def _as_batch(holds: Amount | None, unit: str, density: Density | None) -> Amount | None:
    """Return what a vessel holds in the batch's unit, as it was said where no density is known."""
    return None if holds is None else held_as(holds, unit, density) or holds
