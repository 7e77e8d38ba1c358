"""People: those who work here, and the patients and prescribers behind opaque ids."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from formulary.errors import Refusal
from formulary.messages import message
from formulary.patient import PatientDetails


class Post(StrEnum):
    """What somebody does here."""

    PHARMACIST = "pharmacist"
    TECHNICIAN = "technician"
    READER = "reader"
    ADMINISTRATOR = "administrator"


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works here and signs acts.

    ``pin_hash`` is all that is kept of the PIN, empty where there is none yet. Who is ``gone``
    stays on record and acts no more.
    """

    id: str
    name: str
    post: Post
    pin_hash: str = ""
    gone: bool = False
    revision: int = 0


def require_a_pharmacist(before: Person | None, after: Person, others: Iterable[Person]) -> None:
    """Raise :class:`formulary.errors.Refusal` if no pharmacist were left after a change."""
    was_one = before is not None and before.post is Post.PHARMACIST and not before.gone
    is_one = after.post is Post.PHARMACIST and not after.gone
    if was_one and not is_one and not any(_works_as_pharmacist(each, after.id) for each in others):
        raise Refusal(message("people.last_pharmacist", person=after.name))


def _works_as_pharmacist(person: Person, apart_from: str) -> bool:
    return person.id != apart_from and person.post is Post.PHARMACIST and not person.gone


class Part(StrEnum):
    """What an outside person is to a preparation.

    ``UNKEPT`` is what was typed for an order that isn't kept yet, since names stand in it.
    """

    PATIENT = "patient"
    PRESCRIBER = "prescriber"
    UNKEPT = "unkept"


@dataclass(frozen=True, slots=True)
class Identity:
    """A patient's or prescriber's name, kept apart so that it can be erased alone.

    ``details`` is what else is known of them, erased with the name. ``seal`` is drawn by chance
    each time it is kept: the history's hash of the record says nothing once that is erased.
    """

    id: str
    part: Part
    name: str
    details: PatientDetails | None = None
    revision: int = 0
    seal: str = ""
