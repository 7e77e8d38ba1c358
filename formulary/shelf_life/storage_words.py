"""Storage terms: the same word means other temperatures in another book, so numbers are said."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from formulary.finding import Finding, Severity
from formulary.formula.content import Storage
from formulary.messages import Message, message
from formulary.resources import resource_path


@dataclass(frozen=True, slots=True)
class StorageTerm:
    """What a term means in one book, in whole °C; an end that is None is open."""

    term: str
    book: str
    lowest: int | None
    highest: int | None
    source: str

    @property
    def degrees(self) -> Message:
        """The temperatures as they are printed."""
        if self.lowest is None:
            return message("formula.keeping.below", highest=self.highest or 0)
        if self.highest is None:
            return message("formula.keeping.above", lowest=self.lowest)
        return message("formula.keeping.between", lowest=self.lowest, highest=self.highest)


@cache
def storage_terms() -> tuple[StorageTerm, ...]:
    """Return every term of every book."""
    text = resource_path("tables", "storage-terms.toml").read_text(encoding="utf-8")
    return tuple(
        StorageTerm(row["term"], row["book"], row.get("lowest"), row.get("highest"), row["source"])
        for row in tomllib.loads(text)["row"]
    )


def bare_terms(storage: Storage | None) -> Iterator[Finding]:
    """Yield a finding for each term in the note on storage, with what it means in each book."""
    note = storage.note.casefold() if storage else ""
    if not note:
        return
    for term in dict.fromkeys(each.term for each in storage_terms()):
        if re.search(rf"\b{re.escape(term)}\b", note):
            meant = tuple(
                message("shelf_life.term", book=each.book, degrees=each.degrees)
                for each in storage_terms()
                if each.term == term
            )
            said = message("shelf_life.finding.bare_term", term=term, meant=meant)
            yield Finding(Severity.REASON, said, "storage.note")
