"""What a restored backup took the place of: its history proves anchors that this one doesn't have.

Whoever rewrote a history could also write that a backup was restored. So the word of an entry is no
proof; the formulary that was put aside is, since it holds what the anchor names.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from formulary.backups import is_put_aside
from formulary.errors import StoreTrouble
from formulary.messages import Message, message
from formulary.records.chain import FIRST, fits
from formulary.records.engine import sqlite_engine
from formulary.records.kept_rows import UNREADABLE
from formulary.records.sql_store import SqlStore
from formulary.verifying import Anchor, Doubt, Flaw

_PAGE = 500
_OF_ANCHORS = (Flaw.REWRITTEN, Flaw.SHORTER)


def without_replaced(
    doubts: Iterable[Doubt], anchors: Iterable[Anchor], place: str, restored_to: int | None
) -> tuple[list[Doubt], list[Message]]:
    """Return the doubts that are left, and what is noted of the others.

    ``restored_to`` is the last entry of the earliest backup that the history says was restored,
    None where it says so of none.
    """
    named = {(each.number, each.source): each for each in anchors}
    left: list[Doubt] = []
    notes: list[Message] = []
    for doubt in doubts:
        anchor = named.get((doubt.entry, doubt.what))
        if doubt.flaw not in _OF_ANCHORS or anchor is None:
            left.append(doubt)
        elif (file := _holds(place, anchor)) is not None:
            said = message("verifying.of_replaced", what=doubt.what, n=doubt.entry, file=file.name)
            notes.append(said)
        elif restored_to is not None and restored_to < anchor.number:
            left.append(replace(doubt, flaw=Flaw.RESTORED))
        else:
            left.append(doubt)
    return left, notes


def _holds(place: str, anchor: Anchor) -> Path | None:
    """Return the formulary put aside beside this one whose history has the entry of an anchor."""
    here = Path(place)
    if "://" in place or not here.parent.is_dir():
        return None
    stem = here.name.partition(".")[0]
    beside = (each for each in here.parent.iterdir() if each.name.startswith(f"{stem}."))
    aside = sorted(each for each in beside if each.suffix == here.suffix)
    return next((e for e in aside if is_put_aside(e.name) and _is_in(e, anchor)), None)


def _is_in(file: Path, anchor: Anchor) -> bool:
    """Tell whether a file's history is unbroken up to the entry that an anchor names."""
    store = SqlStore(sqlite_engine(file), str(file))
    number, previous = 0, FIRST
    try:
        while page := store.history(number, _PAGE):
            for entry in page:
                if entry.number != number + 1 or entry.previous != previous or not fits(entry):
                    return False
                number, previous = entry.number, entry.hash
                if number == anchor.number:
                    return entry.hash.startswith(anchor.hash)
    except (StoreTrouble, *UNREADABLE):
        return False
    finally:
        store.close()
    return False
