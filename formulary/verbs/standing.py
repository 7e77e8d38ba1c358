"""Whether what was signed with an entry of the history is what is kept now."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from formulary.canonical import KINDS, content_hash
from formulary.formula.version import Version
from formulary.stock.moves import StockMove
from formulary.store import Entry, Reading


def stands(store: Reading, entry: Entry) -> bool | None:
    """Tell whether a version put in use, or a signed movement of stock, is as it was signed.

    None for an entry without a signature that is bound to one of these.
    """
    try:
        details = json.loads(entry.details)
        found = [*_versions(store, details), *_moves(store, details)]
    except (ValueError, TypeError, KeyError, AttributeError):
        return None
    return all(found) if found else None


def _versions(store: Reading, details: Any) -> Iterator[bool]:  # noqa: ANN401  as JSON has it
    signed = details["told"].get("content") if details["told"].get("signed") else None
    ids = [each["id"] for each in details["put"] if each["kind"] == KINDS[Version]]
    if signed and ids:
        versions = (store.get(Version, each) for each in ids)
        yield any(content_hash(each.content) == signed for each in versions if each is not None)


def _moves(store: Reading, details: Any) -> Iterator[bool]:  # noqa: ANN401  as JSON has it
    ids = [each["id"] for each in details["put"] if each["kind"] == KINDS[StockMove]]
    for move in (store.get(StockMove, each) for each in ids):
        if move is not None:
            # It is signed before it is kept, and never changed.
            hashed = content_hash(replace(move, signatures=(), revision=0))
            bound = (each.content_hash for each in move.signatures if each.content_hash)
            yield from (each == hashed for each in bound)
