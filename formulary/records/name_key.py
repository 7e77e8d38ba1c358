"""The keys under which patients' and prescribers' names are kept; they lie outside the formulary.

Only that one table is encrypted, with ``age`` (age-encryption.org/v1): a whole encrypted database
needs another build of SQLite on every computer, and reads three times as slowly. The formulary
names its key by the public half; this computer's file holds the other half of each key it knows,
in the form that other programs for ``age`` read, too.
"""

from __future__ import annotations

import os
import tempfile
from base64 import b64decode, b64encode
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path

from pyrage import DecryptError, IdentityError, decrypt, encrypt, x25519

from formulary.errors import BadText, StoreTrouble
from formulary.messages import Message, message
from formulary.records.files import land

FILE_NAME = "names.key"
LARGEST = 64 * 1024
"""Bytes of a file of keys; no honest one is as large."""
_MARK = "age:"
_SECRET = "AGE-SECRET-KEY-"  # noqa: S105  how such a line begins


def key_file() -> Path:
    """Return where this computer keeps its keys, if it has any: the user's settings folder."""
    # Imported here: the window starts without it.
    import platformdirs

    return Path(platformdirs.user_config_dir("misce", appauthor=False)) / FILE_NAME


def own_key() -> str:
    """Return the key of this computer by its public half; the first time it is made.

    It is on the disk before anything is kept under it. Raises StoreTrouble where it can't be.
    """
    found = _keys()
    if not found:
        _keep([x25519.Identity.generate()], anew=True)
        found = _keys()
    return next(iter(found))


def has_key(key: str) -> bool:
    """Tell whether this computer can read what is kept under a key."""
    return key in _keys()


def copy_of(key: str) -> str:
    """Return a key as the text of a file. Raises StoreTrouble where this computer hasn't it."""
    return f"# public key: {key}\n{_known(key)}\n"


def write_copy(key: str, place: Path) -> None:
    """Write a copy of a key to a place, which only its owner may read."""
    _write(copy_of(key), place)


def take_over(place: Path, key: str) -> None:
    """Add the keys of a file, which ``key`` must be among, to those of this computer.

    Raises :class:`formulary.errors.BadText` for a file that holds none or only others.
    """
    with _told("cannot_read", place), place.open("rb") as file:
        found = _read(file.read(LARGEST).decode("utf-8", "replace"))
    if not found:
        raise BadText(message("store.names.not_a_key", place=str(place)))
    if key not in found:
        raise BadText(message("store.names.another_key", place=str(place)))
    here = _keys()
    if not found.keys() <= here.keys():
        _keep([*(here | found).values()])


def under_key(text: str, key: str) -> str:
    """Return a text as it is kept under a key, as it is where there is no key.

    Raises StoreTrouble where this computer hasn't the key: nobody here could read it again.
    """
    if not key or not text:
        return text
    return _MARK + b64encode(encrypt(text.encode(), [_known(key).to_public()])).decode()


def is_under_key(kept: str) -> bool:
    """Tell whether a text is kept under a key."""
    return kept.startswith(_MARK)


def opened(kept: str) -> str:
    """Return what a kept text says. Raises StoreTrouble where its key isn't here."""
    if not is_under_key(kept):
        return kept
    try:
        keys = [*_keys().values()]
        return decrypt(b64decode(kept.removeprefix(_MARK)), keys).decode()
    except (DecryptError, ValueError):
        raise StoreTrouble(not_here()) from None


def not_here() -> Message:
    """Say that the key isn't on this computer, and how it gets there."""
    return message("store.names.no_key", place=str(key_file()))


def _known(key: str) -> x25519.Identity:
    found = _keys().get(key)
    if found is None:
        raise StoreTrouble(not_here())
    return found


def _keys() -> dict[str, x25519.Identity]:
    """Return the keys of this computer by their public halves, its own first."""
    place = key_file()
    with _told("cannot_read", place):
        try:
            return _read(place.read_text("utf-8", "replace"))
        except FileNotFoundError:
            return {}


@lru_cache(maxsize=4)
def _read(text: str) -> dict[str, x25519.Identity]:
    """Return the keys that stand in a text, each on a line of its own; others say nothing."""
    found = {}
    for line in map(str.strip, text.splitlines()):
        if line.startswith(_SECRET):
            try:
                key = x25519.Identity.from_str(line)
            except IdentityError:
                continue
            found[str(key.to_public())] = key
    return found


def _keep(keys: list[x25519.Identity], *, anew: bool = False) -> None:
    place = key_file()
    with _told("cannot_write", place):
        place.parent.mkdir(parents=True, exist_ok=True)
    _write("".join(f"{each}\n" for each in keys), place, anew=anew)


@contextmanager
def _told(trouble: str, place: Path) -> Iterator[None]:
    """Turn what the system says against a file of keys into StoreTrouble."""
    try:
        yield
    except OSError as error:
        why = error.strerror or type(error).__name__
        said = message(f"store.names.{trouble}", place=str(place), why=why)
        raise StoreTrouble(said) from error


def _write(text: str, place: Path, *, anew: bool = False) -> None:
    """Write a file whole or not at all, for its owner only.

    ``anew`` leaves one that is there: another window made its key at the same moment.
    """
    with _told("cannot_write", place):
        made, name = tempfile.mkstemp(dir=place.parent, prefix=".key-")
        try:
            with os.fdopen(made, "w", encoding="utf-8") as file:
                file.write(text)
                file.flush()
            if not (anew and place.exists()):
                land(Path(name), place)
        finally:
            Path(name).unlink(missing_ok=True)
