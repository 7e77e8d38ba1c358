"""The key under which patients' and prescribers' names are kept; it lies outside the formulary.

Only that one table is encrypted, with ``age`` (age-encryption.org/v1): a whole encrypted database
needs another build of SQLite on every computer, and reads three times as slowly. The key's file
holds one identity a line, as age has it: names are kept under the first, and read with any.
"""

from __future__ import annotations

import os
from base64 import b64decode, b64encode
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from functools import lru_cache
from pathlib import Path

from pyrage import DecryptError, IdentityError, decrypt, encrypt, x25519

from formulary.errors import BadText, StoreTrouble
from formulary.messages import message

FILE_NAME = "names.key"
COPIED = ".copied"
MARK = "age:"
"""What a text under a key begins with."""


class KeyMissing(StoreTrouble):
    """A name is under a key that isn't on this computer."""


def key_file() -> Path:
    """Return where this computer keeps the key, if it has one: the user's settings folder."""
    # Imported here: the window starts without it.
    import platformdirs

    return Path(platformdirs.user_config_dir("misce", appauthor=False)) / FILE_NAME


def has_key() -> bool:
    """Tell whether names are kept under a key on this computer."""
    return bool(_keys())


def ensure_key() -> Path:
    """Make a key that only its owner may read, unless there is one; return where it is."""
    if not has_key():
        _write(key_file(), (str(x25519.Identity.generate()),), anew=True)
    return key_file()


def copy_key(place: Path) -> None:
    """Copy the key into a file that only its owner may read.

    Raises KeyMissing where there is none, and StoreTrouble where nothing can be written.
    """
    if not has_key():
        raise _missing()
    _write(place, (str(each) for each in _keys()))
    _note_copy()


def is_copied() -> bool:
    """Tell whether a copy of the key was made; a lost key's names can't be read by anybody."""
    noted = key_file().with_name(FILE_NAME + COPIED)
    keys = _keys()
    return bool(keys) and noted.exists() and noted.read_text("utf-8") == str(keys[0].to_public())


@contextmanager
def taken_key(place: Path) -> Iterator[None]:
    """Take a key over from a file: names are kept under it from now on, and read with it.

    What this computer had before stays for reading. Where what follows fails, all is as it was.
    Raises BadText for a file that holds no key.
    """
    brought = _brought(place)
    here = [str(each) for each in _keys()]
    _write(key_file(), dict.fromkeys([*brought, *here]))
    try:
        yield
    except BaseException:
        _put_back(here)
        raise
    # What it was taken from is a copy.
    _note_copy()


def _brought(place: Path) -> list[str]:
    try:
        brought = _identities(place.read_text("utf-8"))
    except (OSError, UnicodeDecodeError, IdentityError):
        brought = ()
    if not brought:
        raise BadText(message("store.names.no_key_in", place=str(place)))
    return [str(each) for each in brought]


def _put_back(keys: Sequence[str]) -> None:
    if keys:
        _write(key_file(), keys)
    else:
        key_file().unlink()


def under_key(text: str) -> str:
    """Return a text as it is kept: under the key, where this computer has one."""
    keys = _keys()
    if not keys or not text:
        return text
    return MARK + b64encode(encrypt(text.encode(), [keys[0].to_public()])).decode()


def opened(kept: str) -> str:
    """Return what a kept text says. Raises KeyMissing where its key isn't here."""
    if not kept.startswith(MARK):
        return kept
    try:
        return decrypt(b64decode(kept.removeprefix(MARK)), list(_keys())).decode()
    except (DecryptError, ValueError):
        raise _missing() from None


def _missing() -> KeyMissing:
    return KeyMissing(message("store.names.no_key", place=str(key_file())))


def _keys() -> tuple[x25519.Identity, ...]:
    try:
        return _identities(key_file().read_text("utf-8"))
    except FileNotFoundError:
        return ()
    except IdentityError:
        raise _missing() from None


@lru_cache(maxsize=4)
def _identities(text: str) -> tuple[x25519.Identity, ...]:
    lines = (each.strip() for each in text.splitlines())
    return tuple(x25519.Identity.from_str(each) for each in lines if each and each[0] != "#")


def _note_copy() -> None:
    _write(key_file().with_name(FILE_NAME + COPIED), (str(_keys()[0].to_public()),))


def _write(place: Path, lines: Iterable[str], *, anew: bool = False) -> None:
    """Write a file that only its owner may read, whole or not at all.

    ``anew`` leaves one that is there already: another window made its key at the same moment.
    """
    beside = place.with_name(place.name + ".new")
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        beside.unlink(missing_ok=True)
        with os.fdopen(os.open(beside, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "w") as file:
            file.write("\n".join(lines))
            file.flush()
            os.fsync(file.fileno())
        if anew:
            with suppress(FileExistsError):
                place.hardlink_to(beside)
            beside.unlink()
        else:
            beside.replace(place)
    except OSError as trouble:
        why = trouble.strerror or type(trouble).__name__
        raise StoreTrouble(
            message("store.names.cannot_write", place=str(place), why=why)
        ) from trouble
