"""Files and folders: what the system says against them, as sentences."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from formulary.errors import StoreTrouble
from formulary.messages import message
from formulary.records.schema import connected

_KNOWN = {
    errno.ENOSPC: "disk_full",
    errno.EDQUOT: "disk_full",
    errno.EACCES: "not_written",
    errno.EPERM: "not_written",
    errno.EROFS: "not_written",
    errno.EIO: "disk_error",
}


@contextmanager
def told_of_files(place: Path) -> Iterator[None]:
    """Turn what the system says of files at ``place`` into :class:`StoreTrouble`."""
    try:
        yield
    except OSError as error:
        trouble = _KNOWN.get(error.errno or 0, "cannot_open")
        raise StoreTrouble(message(f"store.trouble.{trouble}", place=str(place))) from error


def land(made: Path, place: Path) -> None:
    """Put a finished file under its name, so that it is there whole or not at all."""
    with made.open("rb") as whole:
        os.fsync(whole.fileno())
    made.replace(place)
    _sync_folder(place.parent)


def settle(database: Path) -> None:
    """Bring what a database has beside it into its file, which nobody else may have open."""
    with closing(connected(database)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE")


def _sync_folder(folder: Path) -> None:
    """Let a new name reach the disk; where folders can't be opened (Windows) it does anyway."""
    try:
        opened = os.open(folder, os.O_RDONLY)
    except PermissionError:
        return
    try:
        os.fsync(opened)
    finally:
        os.close(opened)
