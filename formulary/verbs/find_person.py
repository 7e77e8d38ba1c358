"""Find a known patient or prescriber, so that nobody is typed twice; the search is on record."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, replace

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.messages import message
from formulary.patient import PatientDetails
from formulary.people import Identity, Part
from formulary.store import Reading

FEWEST_LETTERS = 2
MOST_FOUND = 12


@dataclass(frozen=True, slots=True)
class Known:
    """Somebody who is known from an earlier order."""

    id: str
    name: str
    details: PatientDetails


def find_person(desk: Desk, part: Part, typed: str) -> tuple[Known, ...]:
    """Return those in whose names every typed word begins a word, by name, at most twelve.

    The history says that somebody looked and who was seen, by ids alone. Raises
    :class:`formulary.errors.Refusal` for fewer than two letters, which would show everybody, and
    :class:`formulary.errors.Forbidden` for whoever may not see patients.
    """
    words = _words(typed)
    if sum(map(len, words)) < FEWEST_LETTERS:
        raise Refusal(message("orders.person_needed", n=FEWEST_LETTERS))
    with desk.writing("find_person") as writing:
        named = writing.columns(Identity, ("name", "id"), "part", [part.value])
        fits = sorted((name, known) for name, known in named if _fits(words, name))[:MOST_FOUND]
        found = _once_each(writing.having_any(Identity, "id", {known for _, known in fits}))
        writing.tell(part=part.value, found=len(found), seen=" ".join(each.id for each in found))
    known = (Known(each.id, each.name, each.details or PatientDetails()) for each in found)
    return tuple(sorted(known, key=lambda each: (each.name.casefold(), each.id)))


def _once_each(found: Sequence[Identity]) -> list[Identity]:
    """Return each person once: each order keeps its own, often with the same or no details.

    The newest stays. Who has a name alone is left out beside one of whom more is known.
    """
    nothing = PatientDetails()
    kept: dict[tuple[str, PatientDetails], Identity] = {}
    for each in sorted(found, key=lambda each: each.id):
        details = replace(each.details or nothing, again=False)
        kept[each.name.casefold(), details] = each
    more = {name for name, details in kept if details != nothing}
    return [
        each for (name, details), each in kept.items() if details != nothing or name not in more
    ]


def known_person(store: Reading, identity_id: str) -> Known | None:
    """Return somebody picked before, None where the name was erased meanwhile."""
    found = store.get(Identity, identity_id)
    return None if found is None else Known(found.id, found.name, found.details or PatientDetails())


def _fits(words: tuple[str, ...], name: str) -> bool:
    names = _words(name)
    return all(any(each.startswith(word) for each in names) for word in words)


def _words(text: str) -> tuple[str, ...]:
    """Return the words without case and accents."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    plain = "".join(sign for sign in apart if not unicodedata.combining(sign))
    return tuple("".join(sign if sign.isalnum() else " " for sign in plain).split())
