"""The key under which patients' and prescribers' names are kept; it lies outside the formulary.

Only that one table is encrypted, with ``age`` (age-encryption.org/v1): a whole encrypted database
needs another build of SQLite on every computer, and reads three times as slowly.
"""

from __future__ import annotations

import os
from base64 import b64decode, b64encode
from functools import lru_cache
from pathlib import Path

from pyrage import DecryptError, IdentityError, decrypt, encrypt, x25519

from formulary.errors import Refusal, StoreTrouble
from formulary.messages import Message, message

FILE_NAME = "names.key"
_MARK = "age:"


def key_file() -> Path:
    """Return where this computer keeps the key, if it has one: the user's settings folder."""
    # Imported here: the window starts without it.
    import platformdirs

    return Path(platformdirs.user_config_dir("misce", appauthor=False)) / FILE_NAME


def make_key() -> Path:
    """Make a key that only its owner may read, and return where it is.

    Raises :class:`formulary.errors.Refusal` where there is one already.
    """
    place = key_file()
    place.parent.mkdir(parents=True, exist_ok=True)
    try:
        opened = os.open(place, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    except FileExistsError:
        raise Refusal(message("store.names.key_there", place=str(place))) from None
    with os.fdopen(opened, "w") as file:
        file.write(str(x25519.Identity.generate()))
    return place


def under_key(text: str) -> str:
    """Return a text as it is kept: under the key, where this computer has one."""
    key = _key()
    if key is None or not text:
        return text
    return _MARK + b64encode(encrypt(text.encode(), [key.to_public()])).decode()


def opened(kept: str) -> str:
    """Return what a kept text says. Raises StoreTrouble where its key isn't here."""
    if not kept.startswith(_MARK):
        return kept
    key = _key()
    try:
        if key is None:
            raise StoreTrouble(_not_here())
        return decrypt(b64decode(kept.removeprefix(_MARK)), [key]).decode()
    except (DecryptError, ValueError):
        raise StoreTrouble(_not_here()) from None


def _not_here() -> Message:
    return message("store.names.no_key", place=str(key_file()))


def _key() -> x25519.Identity | None:
    try:
        return _read(key_file().read_text("utf-8").strip())
    except FileNotFoundError:
        return None


@lru_cache(maxsize=4)
def _read(text: str) -> x25519.Identity:
    try:
        return x25519.Identity.from_str(text)
    except IdentityError:
        raise StoreTrouble(_not_here()) from None
