"""Say that one has read a version in use, and tell who hasn't yet."""

from __future__ import annotations

from formulary.desk import Desk
from formulary.errors import Forbidden
from formulary.formula.read_mark import Readers, ReadMark, mark_id, readers
from formulary.formula.version import State, Version
from formulary.messages import message
from formulary.people import Person
from formulary.store import Reading
from formulary.verbs.review_formula import known_version


def acknowledge_version(desk: Desk, version_id: str) -> Version:
    """Keep that the person at the desk read a version; once is enough.

    Raises :class:`formulary.errors.Forbidden` for a version that isn't in use.
    """
    desk.may("acknowledge_version")
    version = known_version(desk.store, version_id)
    if version.state is not State.IN_USE:
        raise Forbidden(message("formula.read.not_in_use", title=version.content.title))
    mark = mark_id(version.id, desk.person.id)
    if desk.store.get(ReadMark, mark) is not None:
        return version
    with desk.writing("acknowledge_version") as writing:
        writing.tell(formula=version.content.code, version=version.number)
        writing.put(ReadMark(mark, version.id, desk.person.id, desk.person.name, desk.act().at))
    return version


def readers_of(store: Reading, version: Version) -> Readers:
    """Return who has read a version and who still should."""
    marks = store.having(ReadMark, version_id=version.id)
    wrote = (version.author_id, *version.earlier_author_ids, version.approver_id)
    return readers(marks, store.every(Person), wrote)
