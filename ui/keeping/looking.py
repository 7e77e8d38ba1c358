"""A look into a backup: what it holds, and whether all of it is as it was kept."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from formulary.backups import SHOWN, named
from formulary.errors import FormularyError
from formulary.messages import Message, message
from formulary.people import Person
from formulary.verifying import Verdict

if TYPE_CHECKING:
    from formulary.records.restoring import Tried

AREA = "ui_keeping"
MOST_SAID = 8


@dataclass(frozen=True, slots=True)
class Looked:
    """What was found: sentences, whether it may take the formulary's place, who may put it there.

    ``sample`` tells that it holds a sample pharmacy, ``entries`` how long its history is.
    """

    place: Path
    said: tuple[Message, ...]
    sound: bool
    people: tuple[Person, ...] = ()
    sample: bool = False
    entries: int = 0


def look_into(place: Path, phrase: str, step: Callable[[int, int], None]) -> Looked:
    """Try a backup in a scratch place. Raises what opening it raises."""
    from formulary.records.restoring import tried

    known = named(place.name)
    whole = known.number if known is not None else 0
    with tried(place, phrase, progress=lambda entries: step(entries, whole)) as found:
        people = tuple(sorted(_may_restore(found), key=lambda each: each.name))
        said, verdict = tuple(_held(found)), found.verdict
        return Looked(place, said, verdict.sound, people, _is_sample(found), verdict.entries)


def looked_or_told(place: Path, step: Callable[[int, int], None]) -> Looked:
    """Try a backup without a passphrase; why it can't be tried is what is said of it."""
    try:
        return look_into(place, "", step)
    except FormularyError as trouble:
        return Looked(place, (trouble.message,), sound=False)


def needs_passphrase(place: Path) -> bool:
    """Tell whether a backup opens with a passphrase only."""
    return place.suffix == ".age"


def said_of(verdict: Verdict) -> tuple[Message, ...]:
    """Return what a check found as sentences, the first of many."""
    if verdict.good:
        head = f"{verdict.entries}:{verdict.head[:SHOWN]}"
        good = message(f"{AREA}.good", n=verdict.entries, records=verdict.records, head=head)
        return (good, *verdict.notes)
    way_on = message(f"{AREA}.{'astray' if verdict.sound else 'not_good'}")
    return (*verdict.told(MOST_SAID), way_on)


def put_in_place(backup: Path, phrase: str, file: Path, person_id: str, pin: str) -> Path | None:
    """Put a backup in the formulary's place, signed in it by somebody with their PIN there.

    Return where the replaced file is kept, None where there was none. Nothing in this process may
    have the file open.
    """
    from formulary.opening import desk_at
    from formulary.records.restoring import restore, tried
    from formulary.verbs.sign_in import sign_in

    with tried(backup, phrase, beside=file) as found:
        desk = desk_at(found.store, person_id)
        return restore(found, file, sign_in(desk, desk.person.id, pin))


def _held(found: Tried) -> Iterator[Message]:
    held = found.held
    yield message(
        f"{AREA}.held",
        formulas=held.formulas,
        preparations=held.preparations,
        orders=held.orders,
        people=held.people,
    )
    if found.last is not None:
        yield message(f"{AREA}.last", at=found.last.act.at, by=found.last.act.person)
    yield from said_of(found.verdict)


def _may_restore(found: Tried) -> Iterator[Person]:
    from formulary.roles import MAY

    for each in found.store.every(Person):
        if each.post in MAY["restore"] and not each.gone:
            yield each


def _is_sample(found: Tried) -> bool:
    from formulary.house import House

    return any(each.sample for each in found.store.every(House))
