"""Putting a backup in the formulary's place, after it was tried somewhere else."""

from __future__ import annotations

import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from formulary.backups import aside_name, named
from formulary.desk import Desk
from formulary.errors import NotFound, StoreTrouble
from formulary.messages import message
from formulary.orders.order import Order
from formulary.people import Person
from formulary.preparation import Preparation
from formulary.records.counters import counted_in_file
from formulary.records.files import land, settle, told_of_files
from formulary.records.locking import unlock
from formulary.records.opening import open_store
from formulary.records.sql_store import SqlStore
from formulary.records.troubles import known_trouble, told_of
from formulary.records.verifying import Progress, verify
from formulary.store import Entry
from formulary.verifying import Anchor, Flaw, Verdict

_ALL = 1_000_000


@dataclass(frozen=True, slots=True)
class Held:
    """How much is in a formulary."""

    formulas: int
    preparations: int
    orders: int
    people: int


@dataclass(frozen=True, slots=True)
class Tried:
    """A backup open in a scratch place: what it holds and whether all of it is as it was kept."""

    store: SqlStore
    path: Path
    verdict: Verdict
    last: Entry | None
    held: Held


@contextmanager
def tried(
    backup: Path,
    phrase: str = "",
    beside: Path | None = None,
    progress: Progress = lambda _: None,
) -> Iterator[Tried]:
    """Open a copy of a backup in a scratch place and check it; the backup itself stays untouched.

    The scratch place is ``beside`` a file that is to be replaced. ``progress`` is told how many
    entries were read, and may raise to end it. Raises NotFound where there is no backup, Forbidden
    for a wrong passphrase and StoreTrouble for what can't be opened.
    """
    if not backup.is_file():
        raise NotFound(message("store.backup.none_there", place=str(backup.absolute())))
    parent = None if beside is None else beside.parent
    with (
        told_of_files(parent or Path(tempfile.gettempdir())),
        tempfile.TemporaryDirectory(dir=parent, prefix=".restoring-") as scratch,
    ):
        copy = Path(scratch) / "restored.misce"
        _bring(backup, phrase, copy)
        store = _opened(copy, backup)
        try:
            verdict = verify(store, _anchors(backup), progress)
            if any(each.flaw is Flaw.TABLE_GONE for each in verdict.doubts):
                yield Tried(store, copy, verdict, None, Held(0, 0, 0, 0))
            else:
                yield Tried(store, copy, verdict, store.last_entry(), _held(store))
        finally:
            store.close()


def restore(found: Tried, place: Path, desk: Desk) -> Path | None:
    """Put a tried backup in a formulary's place; return where the replaced file is kept.

    That it was restored, by whoever sits at the ``desk`` in it, becomes the newest entry of its
    history. Raises Forbidden for somebody who may not, and StoreTrouble for a backup that isn't
    good, and where another program has the formulary open.
    """
    if not found.verdict.sound:
        doubts = found.verdict.doubts
        raise StoreTrouble(message("store.backup.not_good", why=doubts[0].said, n=len(doubts)))
    desk.may("restore")
    with found.store.writing(desk.act(), "restore") as writing:
        writing.tell(restored_to=found.verdict.entries)
        # What was numbered since the backup was made bears those numbers, on jars and on papers.
        writing.pass_over(counted_in_file(place), desk.today.year)
    found.store.close()
    with told_of(str(place)), told_of_files(place):
        settle(found.path)
        aside = put_aside(place, desk.clock.now()) if place.exists() else None
        land(found.path, place)
    return aside


def _held(store: SqlStore) -> Held:
    # As the list of formulas counts them: a one-off for a patient isn't in it.
    formulas = len(store.find_formulas("", limit=_ALL))
    kinds = (Preparation, Order, Person)
    return Held(formulas, *(len(store.every(kind)) for kind in kinds))


def _anchors(backup: Path) -> list[Anchor]:
    known = named(backup.name)
    return [] if known is None else [known.anchor]


def _opened(copy: Path, backup: Path) -> SqlStore:
    """Open the copy; a refusal names the backup, which somebody knows."""
    try:
        return open_store(copy)
    except StoreTrouble as trouble:
        told = dict(trouble.message.parameters)
        if told.get("place") != str(copy):
            raise
        told["place"] = str(backup)
        raise type(trouble)(message(trouble.message.key, **told)) from trouble


def _bring(backup: Path, phrase: str, copy: Path) -> None:
    if backup.suffix == ".age":
        unlock(backup, phrase, copy)
        return
    shutil.copyfile(backup, copy)
    copy.chmod(0o600)


def put_aside(place: Path, now: datetime, what: str = "replaced") -> Path:
    """Move a formulary out of the way, whole, under a name that says what became of it and when.

    Raises StoreTrouble where there is one of that name.
    """
    aside = place.with_name(aside_name(place.name, what, now))
    if aside.exists():
        raise StoreTrouble(message("store.backup.aside_taken", place=str(aside)))
    try:
        _close_off(place)
    except sqlite3.OperationalError as error:
        if known_trouble(error) != "locked":
            raise
        raise StoreTrouble(message("store.backup.still_open", place=str(place))) from error
    for ending in ("-wal", "-shm", ""):
        beside = Path(f"{place}{ending}")
        if beside.exists():
            beside.replace(f"{aside}{ending}")
    return aside


def _close_off(place: Path) -> None:
    """Bring what was written into the file itself, which nobody else may have open.

    A file that is damaged is moved as it is.
    """
    try:
        settle(place)
    except sqlite3.DatabaseError as error:
        if isinstance(error, sqlite3.OperationalError):
            raise
