"""Carry the key of the names out of a computer, and into another one; both are on record."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from formulary.canonical import text_hash
from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.messages import message
from formulary.signing import Meaning
from formulary.verbs.sign_in import signed


def save_key(desk: Desk, pin: str, save: Callable[[str], object]) -> None:
    """Let ``save`` write a copy of the key, named by its public half, and keep that it was.

    Whoever does it signs: with the copy names can be read elsewhere. Raises
    :class:`formulary.errors.Refusal` where names are under no key.
    """
    desk.may("save_names_key")
    house = desk.house
    if not house.names_key:
        raise Refusal(message("people.no_key"))
    by = signed(desk, pin, Meaning.DECIDED, text_hash(house.names_key))
    with desk.writing("save_names_key") as writing:
        writing.put(replace(house, names_key_saved=True))
        writing.tell(key=house.names_key, signed=by.meaning.value, content=by.content_hash)
        save(house.names_key)


def take_over_key(desk: Desk, take: Callable[[str], object]) -> None:
    """Let ``take`` bring the key of the names to this computer, and keep that it was.

    Raises :class:`formulary.errors.Refusal` where names are under no key.
    """
    house = desk.house
    if not house.names_key:
        raise Refusal(message("people.no_key"))
    with desk.writing("take_over_names_key") as writing:
        writing.tell(key=house.names_key)
        take(house.names_key)
