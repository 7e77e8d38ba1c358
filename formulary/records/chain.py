"""The history: one entry for each transaction, each sealed with the hash of the one before."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

from formulary.acts import Act
from formulary.canonical import KINDS, content_hash, json_text, text_hash, to_plain
from formulary.house import House
from formulary.ingredient import Ingredient
from formulary.people import Person
from formulary.records.moments import at_offset, offset_of
from formulary.stock.container import StockContainer
from formulary.stock.counting import CountedGood
from formulary.stock.lot import SupplyLot
from formulary.stock.shelf import Level
from formulary.store import Entry, Reading, Record

FIRST = "0" * 64
"""What the first entry gives as the hash before it."""

_PAGE = 500


TOLD = (House, Person, Ingredient, SupplyLot, StockContainer, CountedGood, Level)
"""Kinds that are changed in place, so that what they said before stands in the history alone."""

_UNTOLD = frozenset({"revision", "pin_hash"})


def put_detail(record: Record, before: Record | None = None) -> dict[str, Any]:
    """Return what the history says of a record that was put; the hash of a person is sealed.

    Of what is changed in place it says what each field was and what it became.
    """
    said: dict[str, Any] = {"revision": record.revision, "hash": content_hash(record)}
    if before is not None and isinstance(record, TOLD):
        said |= {"changed": _changed(to_plain(before), to_plain(record))}
    return {"kind": KINDS[type(record)], "id": record.id, **said}


def _changed(before: dict[str, Any], after: dict[str, Any]) -> dict[str, list[Any]]:
    names = sorted({*before, *after} - _UNTOLD)
    return {
        name: [before.get(name), after.get(name)]
        for name in names
        if before.get(name) != after.get(name)
    }


def mark_of(kind: type, record_id: str) -> str:
    """Return what stands in the details of each entry that put or removed a record."""
    return json_text(removed_detail(kind, record_id)).strip("{}")


def removed_detail(kind: type, record_id: str) -> dict[str, Any]:
    """Return what the history says of a record that was removed."""
    return {"kind": KINDS[kind], "id": record_id}


def details_text(
    put: Iterable[dict[str, Any]],
    removed: Iterable[dict[str, Any]],
    told: Mapping[str, str | int],
) -> str:
    """Return an entry's details as canonical JSON."""
    return json_text({"put": [*put], "removed": [*removed], "told": dict(told)})


def sealed(number: int, verb: str, act: Act, details: str, previous: str) -> Entry:
    """Return the entry with its hash over all that it says and the hash before it."""
    act = replace(act, at=at_offset(act.at, offset_of(act.at)))
    return Entry(number, verb, act, details, previous, _hash(number, verb, act, details, previous))


def verify_chain(store: Reading) -> int | None:
    """Return the number of the first entry that was changed, moved or left out; None if all fit.

    Entries cut off the end show only against a later backup or a printed hash.
    """
    number, previous = 0, FIRST
    while page := store.history(number, _PAGE):
        for entry in page:
            number += 1
            if not _follows(entry, number, previous):
                return number
            previous = entry.hash
    return None


def fits(entry: Entry) -> bool:
    """Tell whether an entry's hash is that of what it says."""
    said = _hash(entry.number, entry.verb, entry.act, entry.details, entry.previous)
    return entry.hash == said


def touched(entry: Entry) -> Iterator[tuple[str, str, str | None]]:
    """Yield kind, id and hash of each record an entry put; None for the hash of a removed one.

    Of people outside the house older entries give no hash; it is "" then.

    An entry that somebody wrote into may say anything; then nothing comes of it.
    """
    try:
        details = json.loads(entry.details)
        put = [(each["kind"], each["id"], each.get("hash", "")) for each in details["put"]]
        removed = [(each["kind"], each["id"], None) for each in details["removed"]]
    except (ValueError, TypeError, KeyError, AttributeError):
        return
    yield from put
    yield from removed


def unreadable(number: int) -> Entry:
    """Return what stands for an entry that can't be read: one that fits nothing."""
    return Entry(number, "", Act("", "", "", "", datetime.min.replace(tzinfo=UTC)), "", "", "")


def _follows(entry: Entry, number: int, previous: str) -> bool:
    return (entry.number, entry.previous) == (number, previous) and fits(entry)


def _hash(number: int, verb: str, act: Act, details: str, previous: str) -> str:
    said = {
        "format": 1,
        "kind": "history",
        "number": number,
        "verb": verb,
        "act": to_plain(act),
        "details": details,
        "previous": previous,
    }
    return text_hash(json_text(said))
