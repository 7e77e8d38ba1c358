"""Put the names of patients and prescribers under a key that lies outside the formulary."""

from __future__ import annotations

from formulary.desk import Desk
from formulary.people import Identity


def keep_names_anew(desk: Desk) -> int:
    """Write every name again, so that it is kept as names are kept from now on; return how many.

    Raises :class:`formulary.errors.Forbidden` for somebody who may not.
    """
    with desk.writing("lock_names") as writing:
        names = writing.every(Identity)
        for each in names:
            writing.put(each)
        writing.tell(names=len(names))
    return len(names)
