"""Online copies of the formulary's file, each tried before it counts."""

from __future__ import annotations

import os
import sqlite3
import tempfile
from collections.abc import Callable, Sequence
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import TypeAlias

from formulary.backups import Backup, BackupPlan, named, require_sound
from formulary.errors import StoreTrouble
from formulary.messages import message
from formulary.records.engine import sqlite_engine
from formulary.records.files import land, settle, told_of_files
from formulary.records.locking import locked
from formulary.records.schema import connected
from formulary.records.sql_store import SqlStore
from formulary.records.troubles import told_of
from formulary.records.verifying import verify

Progress: TypeAlias = Callable[[int, int], None]
"""Is told how many pages of how many were copied, and may raise to end it."""

_PAGES = 256


def backups_in(folder: Path) -> Sequence[Backup]:
    """Return the backups in a folder, newest first."""
    if not folder.is_dir():
        return ()
    found = [backup for each in folder.iterdir() if (backup := named(each.name)) is not None]
    return sorted(found, key=lambda each: each.at, reverse=True)


def back_up(
    formulary: Path,
    folder: Path,
    now: datetime,
    passphrase: str = "",
    progress: Progress = lambda _done, _all: None,
) -> Backup:
    """Copy a formulary while it is in use, try the copy, and keep it under its name.

    Raises :class:`formulary.errors.StoreTrouble` for a folder that can't be written, and for a
    copy that isn't as its history says; then nothing is kept. Raises BadText for a passphrase that
    would be guessed soon.
    """
    if passphrase:
        require_sound(passphrase)
    with told_of_files(folder):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=folder, prefix=".making-") as scratch:
            copy = Path(scratch) / "copy"
            with told_of(str(formulary)):
                _copy(formulary, copy, progress)
            number, hashed = _tried(copy)
            settle(copy)
            backup = Backup(now, number, hashed, bool(passphrase))
            if passphrase:
                copy = locked(copy, passphrase)
            land(copy, folder / backup.name)
    return backup


def rotate(folder: Path, rotation: BackupPlan) -> Sequence[Backup]:
    """Remove the backups that needn't be kept any longer, and return them."""
    dropped = rotation.dropped(backups_in(folder))
    with told_of_files(folder):
        for each in dropped:
            (folder / each.name).unlink(missing_ok=True)
    return dropped


def _copy(source: Path, copy: Path, progress: Progress) -> None:
    os.close(os.open(copy, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))

    def told(_status: int, left: int, total: int) -> None:
        progress(total - left, total)

    with closing(connected(source)) as from_, closing(sqlite3.connect(copy)) as to:
        from_.backup(to, pages=_PAGES, progress=told, sleep=0)


def _tried(copy: Path) -> tuple[int, str]:
    """Open a copy and check all of it; return where its history ends."""
    store = SqlStore(sqlite_engine(copy), str(copy))
    try:
        verdict = verify(store)
    finally:
        store.close()
    if not verdict.sound:
        first = verdict.doubts[0].said
        raise StoreTrouble(message("store.backup.not_good", why=first, n=len(verdict.doubts)))
    return verdict.entries, verdict.head
