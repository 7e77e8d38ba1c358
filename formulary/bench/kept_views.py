"""What an event changed of the jars and of the acts done alone, as it is kept beside the events."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.bench.events import Recipient
from formulary.bench.kept import AloneAct, FilledJar, Place
from formulary.bench.state import Exemption, Jar, State

_PLACES = {
    None: Place.SHELF,
    Recipient.PATIENT: Place.PATIENT,
    Recipient.WARD: Place.WARD,
    Recipient.STOCK: Place.STOCK,
}


def jar_id(lot: str, number: int) -> str:
    """Return what a jar is called: the preparation's lot, a slash, its number."""
    return f"{lot}/{number}"


def jars_changed(before: State, after: State, preparation_id: str, lot: str) -> Iterator[FilledJar]:
    """Yield each jar that was filled, given away or emptied again."""
    was = {each.number: each for each in before.jars}
    now = {each.number: each for each in after.jars}
    for number, jar in now.items():
        if was.get(number) != jar:
            yield _kept(jar, preparation_id, lot, _PLACES[jar.recipient])
    for number, jar in was.items():
        if number not in now:
            yield _kept(jar, preparation_id, lot, Place.NOWHERE)


def alone_changed(before: State, after: State, preparation_id: str, lot: str) -> Iterator[AloneAct]:
    """Yield each act that was done alone, or looked at again."""
    for each in after.exemptions:
        if each not in before.exemptions:
            yield _alone(each, preparation_id, lot)


def _kept(jar: Jar, preparation_id: str, lot: str, place: Place) -> FilledJar:
    name = jar_id(lot, jar.number)
    return FilledJar(name, preparation_id, place, jar.net, jar.recipient_id, jar.handed_at)


def _alone(act: Exemption, preparation_id: str, lot: str) -> AloneAct:
    waits_for = act.person_id if act.checked_at is None else ""
    return AloneAct(f"{preparation_id}/{act.event:05d}", lot, act.event, waits_for, act.at)
