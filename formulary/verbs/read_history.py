"""Read what happened to a record: by whom, when and where, in the order of the history."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from formulary.bench.standing import standing
from formulary.bench.words import said
from formulary.canonical import json_text
from formulary.catalogue import keys_under
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
from formulary.verbs.standing import stands
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

    ``what`` is what happened at the bench, as the record of the preparation says it. ``stands``
    says whether what was signed with it is unchanged since, None where no signature is bound.
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
    stands: bool | None = None

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

    @property
    def row(self) -> Message:
        """The entry in a line: its number, when, what, and who did it where."""
        return message(
            "history.row",
            n=self.number,
            at=self.at,
            what=self.act,
            person=self.person,
            role=self.post,
            workstation=self.workstation,
        )

    def notes(self, longest: int = 0) -> Iterator[Message]:
        """Yield what else it says, each a sentence; values have at most ``longest`` signs."""
        if self.what is not None:
            yield self.what
        if self.reason:
            yield message("history.reason", reason=self.reason)
        facts = tuple(_fact(name, _cut(value, longest)) for name, value in self._facts())
        if facts:
            yield message("history.told", told=facts)
        if self.stands is not None:
            yield message("history.stands" if self.stands else "history.stands_not")
        for each in self.changes:
            before, after = _cut(each.before, longest), _cut(each.after, longest)
            yield message("history.changed", field=each.field, before=before, after=after)

    def _facts(self) -> Iterator[tuple[str, str]]:
        """Yield what was told, without the hash that a signature was looked at by."""
        for name, value in self.told:
            if self.stands is None or name != "content":
                yield name, value

    def says(self, text: str) -> bool:
        """Tell whether every word typed is somewhere in it."""
        told = (f"{name} {value}" for name, value in self.told)
        fields = (each.field for each in self.changes)
        said = (self.person, self.role, self.workstation, self.verb, self.reason, *told, *fields)
        whole = " ".join((str(self.number), f"{self.at:%Y-%m-%d}", *said)).casefold()
        return all(word in whole for word in text.casefold().split())


def _fact(name: str, value: str) -> Message:
    known = f"history.name.{name}"
    said = message(known) if known in keys_under("history.name") else name
    return message("history.fact", name=said, value=value)


def _cut(value: str, longest: int) -> str:
    return value if not longest or len(value) <= longest else f"{value[:longest]} …"


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
    seen = _Seen(store)
    entries = tuple(
        seen.told_of(bench.told_of(replace(happened(each), stands=stands(store, each))))
        for each in found
    )
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
        self._standing: dict[str, dict[int, bool]] = {}

    def told_of(self, entry: Happened) -> Happened:
        """Return an entry with its event in words instead of its number, where it has one."""
        told = dict(entry.told)
        number, found = told.pop("event", ""), self._at(entry.told)
        if found is None or not number.isdecimal():
            return entry
        event = next((e for e in happened_there(found.events) if e.number == int(number)), None)
        if event is None:
            return entry
        return replace(
            entry,
            told=tuple(sorted(told.items())),
            what=said(event, found.state),
            stands=self._stands(found, event.number),
        )

    def _stands(self, work: AtBench, number: int) -> bool | None:
        lot = work.preparation.lot
        if lot not in self._standing:
            self._standing[lot] = standing(work.events, work.job)
        return self._standing[lot].get(number)

    def _at(self, told: Sequence[tuple[str, str]]) -> AtBench | None:
        facts = dict(told)
        lot = facts.get("lot", "") if "event" in facts else ""
        if lot and lot not in self._known:
            try:
                self._known[lot] = at_bench(self._store, lot)
            except NotFound:
                self._known[lot] = None
        return self._known.get(lot)


class _Seen:
    """Says of people who were looked at by which orders they are known, instead of opaque ids."""

    def __init__(self, store: Reading) -> None:
        self._store = store
        self._orders: dict[str, list[str]] | None = None

    def told_of(self, entry: Happened) -> Happened:
        """Return an entry with the orders of those who were seen, where it says who was."""
        told = dict(entry.told)
        if not told.get("seen"):
            return entry
        known = self._known()
        orders = {number for each in told["seen"].split() for number in known.get(each, [each])}
        return replace(entry, told=tuple({**told, "seen": " ".join(sorted(orders))}.items()))

    def _known(self) -> dict[str, list[str]]:
        if self._orders is None:
            self._orders = {}
            for order in self._store.every(Order):
                for each in (order.patient_id, order.prescriber_id):
                    self._orders.setdefault(each, []).append(order.number)
        return self._orders


def _details(text: str) -> tuple[list[tuple[str, str]], list[Change]]:
    try:
        details = json.loads(text)
        told = [(name, str(said)) for name, said in sorted(details["told"].items())]
        changes = [
            change
            for put in details["put"]
            for field, (before, after) in sorted(put.get("changed", {}).items())
            for change in _changes(field, before, after)
        ]
    except (ValueError, TypeError, KeyError, AttributeError):
        return [], []
    return told, changes


def _changes(field: str, before: object, after: object) -> Iterator[Change]:
    """Yield what changed, of a record within a record each field by itself."""
    if isinstance(after, dict) and isinstance(before, dict | None):
        was = before or {}
        for name in sorted({*was, *after}):
            if was.get(name) != after.get(name):
                yield from _changes(f"{field}.{name}", was.get(name), after.get(name))
    else:
        yield Change(field, _value(before), _value(after))


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
        # What went out of it is told with its number.
        told = f'"container":{json_text(container.number)}'
        yield Subject("stock_container", container.number, (_quoted(container.id), told))
    for ingredient in store.every(Ingredient):
        if ingredient.name.casefold() == typed.casefold():
            yield Subject("ingredient", ingredient.name, (_quoted(ingredient.id),))


def _named(formula: Formula) -> str:
    return f"{formula.code} {formula.title}"


def _quoted(text: str) -> str:
    """Return a text as it stands between its quotes in the details of an entry."""
    return json_text(text)
