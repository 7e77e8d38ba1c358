"""Weigh a line from a container: identity first, then the balance, then the figure."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Unpack

from formulary.bench.balance_checks import require_fit
from formulary.bench.events import LineWeighed
from formulary.bench.in_boat import on_the_balance
from formulary.bench.mixtures import planned_factor
from formulary.bench.reading import Reading, Taking, unsuited
from formulary.desk import Desk
from formulary.equipment import EquipmentNote, is_faulty
from formulary.errors import NotFound, Refusal
from formulary.finding import Severity
from formulary.formula.content import Line
from formulary.house import Balance
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.scaling.lots import ACTIVITY
from formulary.scaling.plan import PlannedLine
from formulary.signing import Signature
from formulary.stock.container import opened, require_weighable
from formulary.stock.lot import SupplyLot, certificate_of
from formulary.stock.matching import Wanted
from formulary.stock.moves import Cause
from formulary.stock.shelf import Holding
from formulary.store import Writing
from formulary.verbs.book_move import Change, book_move, is_controlled
from formulary.verbs.check_balance import checks_on, entry_of
from formulary.verbs.fit_for_work import day_of
from formulary.verbs.look_up_stock import container_numbered, holding_of
from formulary.verbs.stock_as_seen import require_holding_seen, require_lot_seen
from formulary.verbs.two_people import Signing, both_sign
from formulary.verbs.work_at_bench import AtBench, Backing, at_bench, record


def weigh_line(
    desk: Desk, lot: str, line: int, reading: Reading, **backing: Unpack[Backing]
) -> AtBench:
    """Record a reading for a line, and take what was weighed from its container's book stock.

    A witness whom the reading names proves it by the second PIN; a controlled substance is taken
    under both signatures, and no more of it than the book holds. Raises
    :class:`formulary.errors.Refusal` for a container that nothing may be weighed from for this
    line, and for a balance that is unchecked, out of calibration or doesn't suit the amount.
    """
    desk, before = desk.for_one_act(), at_bench(desk.store, lot)
    day = day_of(desk, backing.get("original"))
    require_fit_balance(desk, reading, on_the_balance(before.state, line), day)
    if reading.taking is Taking.LEFT:
        return record(desk, lot, LineWeighed(line, reading), **backing)
    if before.state.job.plan.lines[line].sub_plan is not None and before.state.lines[line].mixture:
        return record(desk, lot, LineWeighed(line, of_mixture(before, line, reading)), **backing)
    held = staged(desk, before, line, reading.container, day)
    told = replace(
        reading,
        container=held.container.number,
        lot=held.lot.number,
        factor=factor_at(desk, before, line, held.lot),
    )

    signatures = taken_under(desk, held, reading.witness_id, backing)

    def take(writing: Writing, _after: AtBench) -> None:
        take_from(desk, writing, before.preparation.lot, held, told.amount, signatures)

    return record(desk, lot, LineWeighed(line, told), also=take, **backing)


def staged(desk: Desk, before: AtBench, line: int, number: str, day: date | None = None) -> Holding:
    """Return the container of a scanned or typed number, right for the line today or on a day.

    Raises :class:`formulary.errors.Refusal` with the sentence that says why it isn't.
    """
    wanted = wanted_of(desk, before.state.job.plan.lines[line].line)
    held = holding_of(desk.store, container_numbered(desk.store, number))
    holds = desk.store.get(Ingredient, held.lot.ingredient_id)
    name = holds.name if holds is not None else ""
    require_weighable(held.container, held.lot, wanted, day or desk.today, name)
    return held


def wanted_of(desk: Desk, line: Line) -> Wanted:
    """Return what a line asks for: its ingredient, and the kind and strength on record for that."""
    ingredient = desk.store.get(Ingredient, line.ingredient_id)
    if ingredient is None:
        raise NotFound(message("verbs.no_ingredient_record", ingredient=line.ingredient))
    return Wanted(
        ingredient.id, ingredient.source, ingredient.strength, line.grade, line.ingredient
    )


def factor_at(desk: Desk, before: AtBench, line: int, lot: SupplyLot) -> Fraction:
    """Return what is weighed of this lot for one of what is declared, by its certificate."""
    planned, usual = before.state.job.plan.lines[line], before.state.lines[line].factor
    return usual if planned.sub_plan is not None else _by_certificate(desk, planned, lot, usual)


def mixture_factor(desk: Desk, before: AtBench, line: int, lot: SupplyLot) -> Fraction:
    """Return what goes of this lot into a line's mixture for one of what is declared."""
    planned = before.state.job.plan.lines[line]
    return _by_certificate(desk, planned, lot, planned_factor(planned))


def _by_certificate(desk: Desk, planned: PlannedLine, lot: SupplyLot, usual: Fraction) -> Fraction:
    """Return a lot's factor by its certificate, the usual one where that says nothing."""
    from formulary.calculations.corrections import lot_factor, require_formula

    if planned.required is None or planned.required.unit == ACTIVITY:
        return usual
    kept = desk.store.get(Ingredient, lot.ingredient_id)
    certificate = certificate_of(lot, "" if kept is None else kept.monograph.formula)
    if certificate is None:
        return usual
    by_house = replace(certificate, threshold=Fraction(desk.house.correction_threshold))
    if kept is not None:
        require_formula(by_house, (kept.name, kept.latin, *kept.synonyms))
    return lot_factor(by_house).result


def of_mixture(before: AtBench, line: int, reading: Reading) -> Reading:
    """Return a reading of a part of a mixture: the shelf fell when that was made."""
    state = before.state.lines[line]
    made = state.mixture
    if made is None:
        return reading
    return replace(reading, container=made.container, lot=made.lot, factor=state.factor)


def require_fit_balance(
    desk: Desk, reading: Reading, held: Amount | None = None, day: date | None = None
) -> None:
    """Refuse a balance that isn't fit that day, or out of order by its log; today without a day.

    A measure of volume has no daily check, and pieces are counted without any instrument.
    """
    if not reading.balance and units.is_counted(reading.amount.unit):
        return
    if reading.balance in {each.name for each in desk.house.measures}:
        return
    balance = balance_named(desk, reading.balance)
    day = day or desk.today
    require_fit(entry_of(balance), checks_on(desk.store, day), day)
    notes = desk.store.having(EquipmentNote, subject=balance.name)
    if is_faulty(each for each in notes if each.day <= day.isoformat()):
        raise Refusal(message("equipment.faulty", name=balance.name))
    for finding in unsuited(reading, balance, held):
        if finding.severity is Severity.STOP or not reading.vessel:
            raise Refusal(finding.said)


def balance_named(desk: Desk, name: str) -> Balance:
    """Return a balance of the house. Raises :class:`formulary.errors.NotFound`."""
    for each in desk.house.balances:
        if each.name == name:
            return each
    raise NotFound(message("verbs.no_such_balance", name=name))


def taken_under(
    desk: Desk, held: Holding, witness_id: str, backing: Backing
) -> tuple[Signature, ...]:
    """Return the signatures under which a controlled substance is taken, none for any other."""
    if not is_controlled(desk.store, held.lot):
        return ()
    return both_sign(
        desk,
        Signing(
            backing.get("pin", ""),
            witness_id,
            backing.get("second_pin", ""),
            backing.get("alone_because", ""),
        ),
    )


def take_from(
    desk: Desk,
    writing: Writing,
    lot: str,
    held: Holding,
    amount: Amount,
    signatures: tuple[Signature, ...] = (),
) -> None:
    """Take what went into a preparation from the book.

    A book that held less is put right and never stops the bench, except of a controlled substance.
    Raises :class:`formulary.errors.Conflict` where the lot was decided upon or frozen meanwhile, or
    the container emptied; that others weighed from it, too, is no harm.
    """
    now = holding_of(writing, container_numbered(writing, held.container.number))
    require_lot_seen(writing, now.lot, held.lot.revision)
    if now.container.emptied_on != held.container.emptied_on:
        require_holding_seen(writing, now, held)
    change = Change(amount * -1, Cause.WEIGHED, preparation_lot=lot, signatures=signatures)
    book_move(desk, writing, now, change)
    if now.container.opened_on is None:
        writing.put(opened(now.container, desk.today))
