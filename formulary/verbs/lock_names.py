"""Put the names of patients and prescribers under the key that lies outside the formulary."""

from __future__ import annotations

from pathlib import Path

from formulary.canonical import text_hash
from formulary.desk import Desk
from formulary.errors import BadText
from formulary.messages import message
from formulary.names_key import KeyMissing, copy_key, ensure_key, taken_key
from formulary.people import Identity
from formulary.signing import Meaning
from formulary.store import Writing
from formulary.verbs.sign_in import signed


def keep_names_anew(desk: Desk) -> int:
    """Write every name again under this computer's key, made if there is none; return how many.

    Raises :class:`formulary.errors.Forbidden` for somebody who may not, and
    :class:`formulary.names_key.KeyMissing` where names are under a key that isn't here.
    """
    desk.may("lock_names")
    ensure_key()
    with desk.writing("lock_names") as writing:
        names = writing.every(Identity)
        for each in names:
            writing.put(each)
        writing.tell(names=len(names))
    return len(names)


def copy_names_key(desk: Desk, pin: str, place: Path) -> None:
    """Copy the key into a file, signed, since whoever has it and a backup can read the names.

    Raises as :func:`formulary.names_key.copy_key` and :func:`formulary.verbs.sign_in.signed`.
    """
    desk.may("copy_names_key")
    by = signed(desk, pin, Meaning.DECIDED, text_hash(place.name))
    copy_key(place)
    with desk.writing("copy_names_key") as writing:
        writing.tell(signed=by.meaning.value, content=by.content_hash)


def take_names_key(desk: Desk, place: Path) -> int:
    """Take a key over from its copy; return how many names this computer reads with it.

    Raises :class:`formulary.errors.BadText` for a file without a key, or with that of others.
    """
    desk.may("take_names_key")
    try:
        with taken_key(place), desk.writing("take_names_key") as writing:
            return _told(writing)
    except KeyMissing:
        raise BadText(message("store.names.another_key", place=str(place))) from None


def _told(writing: Writing) -> int:
    count = len(writing.every(Identity))
    writing.tell(names=count)
    return count
