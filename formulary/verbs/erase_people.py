"""Erase patients' and prescribers' names at the end of their retention; the records stay.

What was made keeps the opaque id alone. How long names are kept is the house's to say by the law
of its place: the longest time that applies to any of its records.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from formulary.bench.kept import FilledJar
from formulary.bench.stages import ENDS
from formulary.canonical import json_text, text_hash
from formulary.desk import Desk
from formulary.errors import NotFound, Refusal
from formulary.messages import message
from formulary.orders.order import NEXT, Order
from formulary.people import Identity, Part
from formulary.preparation import Preparation
from formulary.register.complaint import Complaint
from formulary.signing import Meaning
from formulary.store import Reading
from formulary.verbs.look_up_order import order_numbered
from formulary.verbs.sign_in import signed

_ENDLESS = date.max


@dataclass(frozen=True, slots=True)
class Erasable:
    """An id whose name may be erased, and the last day on which a record needed it."""

    id: str
    part: Part
    needed_until: date | None


def erasable(desk: Desk) -> tuple[Erasable, ...]:
    """Return whose names may be erased today; a name that no record points at may at any time.

    Work in hand, an open order and an open complaint hold a name back, however old they are.
    Raises :class:`formulary.errors.Refusal` in a house that hasn't said how long names are kept.
    """
    desk.may("erase_people")
    years, today = desk.house.people_years, desk.today
    if not years:
        raise Refusal(message("people.no_retention"))
    last = _last_needed(desk.store)
    found = []
    for identity in desk.store.every(Identity):
        needed = last.get(identity.id)
        over = needed is None or (needed != _ENDLESS and _years_after(needed, years) <= today)
        if over and identity.part is not Part.UNKEPT:
            found.append(Erasable(identity.id, identity.part, needed))
    return tuple(found)


def erase_people(desk: Desk, pin: str, order_number: str = "") -> int:
    """Erase the names whose retention has ended, or only those of one order; return how many.

    Whoever does it signs. Raises :class:`formulary.errors.Refusal` where the order's names are
    still to be kept, with the day from which they may go, and Forbidden for somebody who may not.
    """
    wanted = [each.id for each in erasable(desk)]
    if order_number:
        order = order_numbered(desk.store, order_number)
        named = [each for each in (order.patient_id, order.prescriber_id) if each]
        _require_over(desk, order, [each for each in named if each not in wanted])
        wanted = [each for each in wanted if each in named]
    if not wanted:
        raise NotFound(message("people.nobody_to_erase", years=desk.house.people_years))
    by = signed(desk, pin, Meaning.DECIDED, text_hash(json_text(wanted)))
    with desk.writing("erase_people") as writing:
        for each in wanted:
            writing.remove(Identity, each)
        writing.tell(erased=len(wanted), signed=by.meaning.value, content=by.content_hash)
    return len(wanted)


def _require_over(desk: Desk, order: Order, kept: Iterable[str]) -> None:
    """Refuse while a name of an order has to be kept; one erased before is none."""
    last = _last_needed(desk.store)
    for each in kept:
        if desk.store.get(Identity, each) is None:
            continue
        needed = last.get(each, _ENDLESS)
        if needed == _ENDLESS:
            raise Refusal(message("people.in_work", number=order.number))
        day = _years_after(needed, desk.house.people_years)
        raise Refusal(message("people.still_kept", number=order.number, day=day))


def _last_needed(store: Reading) -> dict[str, date]:
    """Return for each id the last day on which a record needs its name."""
    last: dict[str, date] = {}

    def needs(record_id: str, day: date) -> None:
        if record_id:
            last[record_id] = max(day, last.get(record_id, date.min))

    disputed = {each.preparation_id for each in store.every(Complaint) if each.is_open}
    for made in store.every(Preparation):
        until = _ENDLESS if made.id in disputed or made.stage not in ENDS else made.use_by
        for record_id in (made.patient_id, made.prescriber_id):
            needs(record_id, until)
    for order in store.every(Order):
        until = _ENDLESS if NEXT[order.state] else order.received_at.date()
        for record_id in (order.patient_id, order.prescriber_id):
            needs(record_id, until)
    for jar in store.every(FilledJar):
        if jar.given_at is not None:
            needs(jar.recipient_id, jar.given_at.date())
    return last


def _years_after(day: date, years: int) -> date:
    """Return the same day so many years later, the day after where there is none."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return date(day.year + years, 3, 1)
