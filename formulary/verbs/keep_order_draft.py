"""What was typed for an order that isn't kept yet; it comes back after a crash.

Names stand in it, so it is kept where names are, one for each person who works here.
"""

from __future__ import annotations

import json
from collections.abc import Mapping

from formulary.desk import Desk
from formulary.people import Identity, Part
from formulary.store import Reading


def keep_order_draft(desk: Desk, texts: Mapping[str, str]) -> None:
    """Keep what the form of a new order holds; where that is nothing, nothing is kept."""
    typed = {name: text for name, text in texts.items() if text.strip()}
    before = _kept(desk.store, desk)
    if not typed:
        drop_order_draft(desk)
        return
    text = json.dumps(typed, ensure_ascii=False)
    if before is not None and before.name == text:
        return
    with desk.writing("keep_order_draft") as writing:
        there = _kept(writing, desk)
        revision = there.revision if there is not None else 0
        writing.put(Identity(_id(desk), Part.UNKEPT, text, revision=revision))


def order_draft(desk: Desk) -> dict[str, str]:
    """Return what the person at the desk typed and didn't keep."""
    found = _kept(desk.store, desk)
    typed: dict[str, str] = json.loads(found.name) if found is not None else {}
    return typed


def drop_order_draft(desk: Desk) -> None:
    """Let go of what was typed, where there is anything."""
    if _kept(desk.store, desk) is not None:
        with desk.writing("drop_order_draft") as writing:
            writing.remove(Identity, _id(desk))


def _kept(store: Reading, desk: Desk) -> Identity | None:
    return store.get(Identity, _id(desk))


def _id(desk: Desk) -> str:
    return f"order-{desk.person.id}"
