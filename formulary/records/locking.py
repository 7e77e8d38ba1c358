"""Backups under a passphrase, in the open format ``age`` (age-encryption.org/v1).

Whoever has the passphrase opens them with any program for that format, also without this one.
"""

from __future__ import annotations

import os
from pathlib import Path

from pyrage import DecryptError, passphrase

from formulary.errors import Forbidden
from formulary.messages import message


def locked(path: Path, phrase: str) -> Path:
    """Return a file beside it that holds the same under a passphrase."""
    made = path.with_name(f"{path.name}.age")
    _write(made, passphrase.encrypt(path.read_bytes(), phrase))
    return made


def unlock(path: Path, phrase: str, to: Path) -> None:
    """Write what a file holds under a passphrase. Raises Forbidden for a wrong one."""
    try:
        data = passphrase.decrypt(path.read_bytes(), phrase)
    except DecryptError:
        raise Forbidden(message("store.backup.wrong_passphrase", name=path.name)) from None
    _write(to, data)


def _write(path: Path, data: bytes) -> None:
    with os.fdopen(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as file:
        file.write(data)
