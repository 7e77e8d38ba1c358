"""Read what happened to a record: by whom, when and where, in the order of the history."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from formulary.bench.words import said
from formulary.canonical import json_text
from formulary.errors import NotFound
from formulary.formula.version import Formula, Version
from formulary.house import House
from formulary.ingredient import Ingredient
from formulary.messages import Message, message
from formulary.orders.order import Order
from formulary.people import Person, Post
from formulary.review.overriding import Overriding
from formulary.roles import MAY
from formulary.stock.container import StockContainer
from formulary.stock.lot import SupplyLot
from formulary.store import Entry, Reading
from formulary.verbs.work_at_bench import AtBench, at_bench
from formulary.verbs.work_at_bench import happened as happened_there

NOBODY_ASKED = ("build_house", "first_pin", "right_pin", "wrong_pin")
"""Acts for which no role is asked, since nobody has signed in yet."""

HOUSE_WORDS = ("house", "settings")
"""What calls for the history of the settings."""


@dataclass(frozen=True, slots=True)
class Change:
    """A field that was changed in place: what it was and what it became."""

    field: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Happened:
    """One entry of the history, readable. ``told`` is what the act said beside its records.

    ``what`` is what happened at the bench, as the record of the preparation says it.
    """

    number: int
    at: datetime
    person: str
    role: str
    workstation: str
    verb: str
    reason: str
    told: tuple[tuple[str, str], ...]
    changes: tuple[Change, ...]
    what: Message | None = None

    @property
    def act(self) -> Message:
        """What was done, in words."""
        if self.verb in MAY:
            return message(f"roles.verb.{self.verb}")
        if self.verb in NOBODY_ASKED:
            return message(f"history.act.{self.verb}")
        return message("history.other_act", verb=self.verb)

    @property
    def post(self) -> Message:
        """What the person was there, in words."""
        known = {each.value: each.name.lower() for each in Post}
        if self.role in known:
            return message(f"roles.post.{known[self.role]}")
        return message("history.other_act", verb=self.role)

    def says(self, text: str) -> bool:
        """Tell whether every word typed is somewhere in it."""
        told = (f"{name} {value}" for name, value in self.told)
        fields = (each.field for each in self.changes)
        said = (self.person, self.role, self.workstation, self.verb, self.reason, *told, *fields)
        whole = " ".join((str(self.number), f"{self.at:%Y-%m-%d}", *said)).casefold()
        return all(word in whole for word in text.casefold().split())


@dataclass(frozen=True, slots=True)
class Subject:
    """What the history is of: a record with its name, and what its entries are known by."""

    kind: str
    name: str
    marks: tuple[str, ...]
    person_id: str = ""


@dataclass(frozen=True, slots=True)
class RecordHistory:
    """Everything that happened to a record, oldest first."""

    subject: Subject
    entries: tuple[Happened, ...]

    def filtered(self, text: str) -> tuple[Happened, ...]:
        """Return the entries in which every word typed is found."""
        return tuple(each for each in self.entries if each.says(text))


def history_of(store: Reading, typed: str) -> RecordHistory:
    """Return everything that happened to what somebody typed.

    That is a formula (by code or title), a lot that was made or received, an order, a container, an
    ingredient, a person (what they did, too), the settings, or any record by its id.

    Raises :class:`formulary.errors.NotFound` for what is none of them.
    """
    subject = _subject(store, typed.strip())
    found = store.entries_about(subject.marks, subject.person_id)
    bench = _Bench(store)
    entries = tuple(bench.told_of(happened(each)) for each in found)
    if not entries:
        raise NotFound(message("history.nothing", typed=typed.strip()))
    return RecordHistory(subject, entries)


def happened(entry: Entry) -> Happened:
    """Return an entry of the history, readable; one that was written into says little."""
    act = entry.act
    told, changes = _details(entry.details)
    return Happened(
        entry.number,
        act.at,
        act.person,
        act.role,
        act.workstation,
        entry.verb,
        act.reason,
        tuple(told),
        tuple(changes),
    )


class _Bench:
    """Finds what happened at the bench; each preparation is read once."""

    def __init__(self, store: Reading) -> None:
        self._store = store
        self._known: dict[str, AtBench | None] = {}

    def told_of(self, entry: Happened) -> Happened:
        """Return an entry with its event in words instead of its number, where it has one."""
        told = dict(entry.told)
        number, found = told.pop("event", ""), self._at(entry.told)
        if found is None or not number.isdecimal():
            return entry
        event = next((e for e in happened_there(found.events) if e.number == int(number)), None)
        if event is None:
            return entry
        return replace(entry, told=tuple(sorted(told.items())), what=said(event, found.state))

    def _at(self, told: Sequence[tuple[str, str]]) -> AtBench | None:
        facts = dict(told)
        lot = facts.get("lot", "") if "event" in facts else ""
        if lot and lot not in self._known:
            try:
                self._known[lot] = at_bench(self._store, lot)
            except NotFound:
                self._known[lot] = None
        return self._known.get(lot)


def _details(text: str) -> tuple[list[tuple[str, str]], list[Change]]:
    try:
        details = json.loads(text)
        told = [(name, str(said)) for name, said in sorted(details["told"].items())]
        changes = [
            Change(field, _value(before), _value(after))
            for put in details["put"]
            for field, (before, after) in sorted(put.get("changed", {}).items())
        ]
    except (ValueError, TypeError, KeyError, AttributeError):
        return [], []
    return told, changes


def _value(value: object) -> str:
    """Return a value as it is read: text as it is, nothing as a dash, the rest as JSON."""
    if value in (None, ""):
        return "\N{EN DASH}"
    return value if isinstance(value, str) else json_text(value)


def _subject(store: Reading, typed: str) -> Subject:
    for found in _candidates(store, typed):
        return found
    return Subject("record", typed, (_quoted(typed),)) if typed else _nothing(typed)


def _nothing(typed: str) -> Subject:
    raise NotFound(message("history.nothing", typed=typed))


def _candidates(store: Reading, typed: str) -> Iterator[Subject]:
    yield from _made_or_ordered(store, typed)
    yield from _of_formula(store, typed)
    yield from _of_stock(store, typed)
    folded = typed.casefold()
    for person in store.every(Person):
        if person.name.casefold() == folded:
            yield Subject("person", person.name, (_quoted(person.id),), person.id)
    for house in store.every(House):
        if folded in (*HOUSE_WORDS, house.name.casefold()):
            yield Subject("house", house.name, (_quoted(house.id),))


def _made_or_ordered(store: Reading, typed: str) -> Iterator[Subject]:
    made = store.preparation(typed)
    if made is not None:
        marks = (_quoted(made.id), f'"{made.id}/', f'"lot":{json_text(made.lot)}')
        yield Subject("preparation", made.lot, marks)
    for order in store.having(Order, number=typed):
        told = f'"order":{json_text(order.number)}'
        yield Subject("order", order.number, (_quoted(order.id), told))


def _of_formula(store: Reading, typed: str) -> Iterator[Subject]:
    for formula in store.formulas_named(typed):
        versions: Sequence[Version] = store.versions(formula.id)
        of_versions = [each.id for each in versions]
        reasons = store.having_any(Overriding, "version_id", of_versions)
        ids = (formula.id, *of_versions, *(each.id for each in reasons))
        yield Subject("formula", _named(formula), tuple(map(_quoted, ids)))


def _of_stock(store: Reading, typed: str) -> Iterator[Subject]:
    for lot in store.having(SupplyLot, number=typed):
        yield Subject("supply_lot", lot.number, (_quoted(lot.id),))
    for container in store.having(StockContainer, number=typed):
        yield Subject("stock_container", container.number, (_quoted(container.id),))
    for ingredient in store.every(Ingredient):
        if ingredient.name.casefold() == typed.casefold():
            yield Subject("ingredient", ingredient.name, (_quoted(ingredient.id),))


def _named(formula: Formula) -> str:
    return f"{formula.code} {formula.title}"


def _quoted(text: str) -> str:
    """Return a text as it stands between its quotes in the details of an entry."""
    return json_text(text)
