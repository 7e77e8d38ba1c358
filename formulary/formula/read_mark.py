"""Who of the house has read a version in use: staff are told of each change, and say so."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from formulary.messages import Message, message
from formulary.people import Person, Post

_AT_THE_BENCH = (Post.PHARMACIST, Post.TECHNICIAN)


@dataclass(frozen=True, slots=True)
class ReadMark:
    """Somebody read a version; the id joins both, so that nobody marks one twice."""

    id: str
    version_id: str
    person_id: str
    person: str
    at: datetime
    revision: int = 0


@dataclass(frozen=True, slots=True)
class Readers:
    """Who has read a version, and who of those that make preparations hasn't."""

    marks: tuple[ReadMark, ...]
    still_to_read: tuple[str, ...]

    @property
    def said(self) -> tuple[Message, ...]:
        """Return it in words."""
        done = tuple(message("formula.read.by", who=each.person, at=each.at) for each in self.marks)
        left = self.still_to_read
        return (*done, *([message("formula.read.not_yet", names=left)] if left else []))


def mark_id(version_id: str, person_id: str) -> str:
    """Return the id of somebody's mark on a version."""
    return f"{version_id}/{person_id}"


def readers(marks: Iterable[ReadMark], people: Iterable[Person], wrote: Iterable[str]) -> Readers:
    """Return who read it; ``wrote`` are the ids of those who wrote or approved it, and know it."""
    found = tuple(marks)
    know_it = {*wrote, *(each.person_id for each in found)}
    left = (
        each.name
        for each in people
        if each.post in _AT_THE_BENCH and not each.gone and each.id not in know_it
    )
    return Readers(found, tuple(left))
