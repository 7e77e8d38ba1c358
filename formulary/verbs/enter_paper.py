"""Enter what a paper worksheet says, each with the time and person that stand there."""

from __future__ import annotations

from dataclasses import dataclass

from formulary.bench.events import Event, LineWeighed, StepDone
from formulary.bench.original import Original
from formulary.desk import Desk
from formulary.errors import NotFound
from formulary.messages import message
from formulary.people import Person
from formulary.store import Reading
from formulary.verbs.finish_step import finish_step
from formulary.verbs.weigh_line import weigh_line
from formulary.verbs.work_at_bench import AtBench, Backing, record


@dataclass(frozen=True, slots=True)
class PaperEntry:
    """One line of the worksheet: what was done, when and by whom."""

    event: Event
    original: Original


def person_called(store: Reading, name: str) -> Person:
    """Return who works here under that name. Raises :class:`formulary.errors.NotFound`."""
    wanted = name.strip().casefold()
    for each in store.every(Person):
        if each.name.casefold() == wanted:
            return each
    raise NotFound(message("verbs.no_such_person", name=name.strip()))


def enter_line(desk: Desk, lot: str, entry: PaperEntry, pin: str = "") -> AtBench:
    """Record one line of the paper; what another signed there, they sign themselves.

    Raises as the bench refuses the same act on that day.
    """
    backing: Backing = {"original": entry.original, "pin": pin}
    match entry.event:
        case LineWeighed(line, reading):
            return weigh_line(desk, lot, line, reading, **backing)
        case StepDone():
            return finish_step(desk, lot, entry.event, **backing)
        case _:
            return record(desk, lot, entry.event, **backing)
