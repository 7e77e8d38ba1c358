"""Put the names of patients and prescribers under a key that lies outside the formulary."""

from __future__ import annotations

from dataclasses import replace

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.messages import message
from formulary.people import Identity


def keep_names_under(desk: Desk, key: str) -> int:
    """Keep every name under a key from now on, named by its public half; return how many those are.

    Raises :class:`formulary.errors.Refusal` where they are under one already, and Forbidden for
    somebody who may not.
    """
    house = desk.house
    if house.names_key:
        raise Refusal(message("people.key_already"))
    with desk.writing("lock_names") as writing:
        writing.put(replace(house, names_key=key, names_key_saved=False))
        names = writing.every(Identity)
        for each in names:
            writing.put(each)
        writing.tell(names=len(names))
    return len(names)
