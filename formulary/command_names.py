"""``misce lock-names`` and ``misce names-key``: the names of people, and the key they are under."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path
from typing import Any

from formulary.command_desk import Answer, acting_desk, catalogue_of, reading_desk
from formulary.command_pin import pin_of
from formulary.desk import Desk
from formulary.errors import WrongUsage
from formulary.messages import Message, message
from formulary.records.name_key import (
    has_key,
    key_file,
    not_here,
    own_key,
    take_over,
    write_copy,
)
from formulary.verbs.carry_key import save_key, take_over_key
from formulary.verbs.lock_names import keep_names_under


def names_locked(options: Namespace) -> Answer:
    """Keep the names of people under this computer's key from now on, made if there is none."""
    with acting_desk(options) as desk:
        desk.may("lock_names")
        count = keep_names_under(desk, own_key())
        said = message("command.lock_names.done", n=count, place=str(key_file()))
        return _answer(desk, said, {"names": count})


def names_key(options: Namespace) -> Answer:
    """Say which key names are under, write a copy of it, or take one over."""
    if options.save and options.take:
        raise WrongUsage(message("command.names_key.one_at_a_time"))
    if not (options.save or options.take):
        with reading_desk(options) as desk:
            return _answer(desk, _state(desk), {})
    with acting_desk(options) as desk:
        if options.save:
            return _saved(desk, Path(options.save))
        return _taken(desk, Path(options.take))


def _saved(desk: Desk, place: Path) -> Answer:
    pin = pin_of(desk.person.name)
    save_key(desk, pin, lambda key: write_copy(key, place))
    return _answer(desk, message("command.names_key.saved", place=str(place)), {})


def _taken(desk: Desk, place: Path) -> Answer:
    take_over_key(desk, lambda key: take_over(place, key))
    return _answer(desk, message("command.names_key.taken", place=str(key_file())), {})


def _state(desk: Desk) -> Message:
    house = desk.house
    if not house.names_key:
        return message("command.names_key.none")
    if not has_key(house.names_key):
        return not_here()
    key = "here" if house.names_key_saved else "not_saved"
    return message(f"command.names_key.{key}", place=str(key_file()))


def _answer(desk: Desk, said: Message, data: dict[str, Any]) -> Answer:
    key, saved = desk.house.names_key, desk.house.names_key_saved
    state = {"key": key, "file": str(key_file()), "here": bool(key) and has_key(key)}
    return Answer(data | state | {"saved": saved}, [catalogue_of(desk).text(said)])
