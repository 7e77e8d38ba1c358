"""Set lots aside for blanks on paper, and enter one that was written on when the program is back.

Should the power or the network fail, work goes on by worksheets whose lots are given already.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from formulary.bench.events import Reserved, Transcribed
from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.errors import NotFound, Refusal
from formulary.formula.version import Version
from formulary.house import House
from formulary.messages import message
from formulary.preparation import Preparation
from formulary.store import Writing
from formulary.verbs.date_preparation import date_version, require_datable, with_date
from formulary.verbs.start_preparation import DrawnUp, Order, draw_up, give_lot
from formulary.verbs.work_at_bench import AtBench, at_bench, followed, planned, put_at_bench

MOST_AT_ONCE = 50


def reserve_blanks(
    desk: Desk, version_id: str, order: Order, count: int, reason: str
) -> tuple[Preparation, ...]:
    """Set so many lots aside, each for the order, and return them as requested preparations.

    They stand in the register with the reason until they are entered or cancelled. Raises
    :class:`formulary.errors.Refusal` for a count out of range, for no reason, for a patient's name,
    and where the order couldn't be started either.
    """
    _require_sense(order, count, reason)
    ready = draw_up(desk, version_id, order)
    with desk.writing("reserve_blanks", reason) as writing:
        blanks = tuple(_blank(desk, writing, ready, reason) for _ in range(count))
        writing.tell(first_lot=blanks[0].lot, blanks=count)
        return blanks


def _require_sense(order: Order, count: int, reason: str) -> None:
    if not 1 <= count <= MOST_AT_ONCE:
        raise Refusal(message("verbs.blanks_at_once", most=MOST_AT_ONCE))
    if not reason.strip():
        raise Refusal(message("verbs.blank_reason_needed"))
    if order.patient or order.prescriber:
        raise Refusal(message("verbs.blank_for_nobody"))


def _blank(desk: Desk, writing: Writing, ready: DrawnUp, reason: str) -> Preparation:
    made, job = give_lot(desk, writing, ready)
    asked = put_at_bench(writing, made, ready.version.content, job)
    return followed(desk, writing, asked, Reserved(reason)).preparation


def enter_blank(desk: Desk, lot: str, made_on: date, note: str = "") -> AtBench:
    """Mark a reserved lot as written on paper first, made that day, and plan it.

    What the paper says is then recorded event by event; its marks stay on the record. Raises
    :class:`formulary.errors.Refusal` for a lot that isn't an open blank, and for a day before it
    was reserved or still to come.
    """
    with desk.writing("transcribe") as writing:
        before = at_bench(writing, lot)
        _require_open_blank(desk, before, made_on)
        made = writing.put(_dated(writing, before, made_on))
        marked = Transcribed(made.lot, note)
        entered = followed(desk, writing, replace(before, preparation=made), marked)
        return followed(desk, writing, entered, planned(made))


def _require_open_blank(desk: Desk, before: AtBench, made_on: date) -> None:
    made = before.preparation
    if not before.state.reserved or before.state.stage is not Stage.REQUESTED:
        raise Refusal(message("verbs.no_open_blank", lot=made.lot))
    if not made.made_on <= made_on <= desk.today:
        raise Refusal(message("verbs.blank_day", lot=made.lot, first=made.made_on, last=desk.today))


def _dated(writing: Writing, before: AtBench, made_on: date) -> Preparation:
    """Return the preparation as made that day, and lasting from then on."""
    made, house = before.preparation, writing.every(House)[0]
    version = writing.get(Version, made.version_id)
    if version is None:
        raise NotFound(message("verbs.no_such_formula", text=made.code))
    lasts = require_datable(date_version(house, version, made_on))
    return with_date(replace(made, made_on=made_on), lasts, house)
