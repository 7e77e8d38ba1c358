"""What the index lists: every calculation by its title, and the reference tables at the end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from formulary.calculating.registry import every_calculation
from formulary.calculating.tables import document, names_in
from formulary.calculating.tariffs import FOLDER, tariff_names
from formulary.catalogue import Catalogue
from formulary.records.folding import folded_words, in_order, sought_words

TABLES = "tables"
"""The name of the entry for the reference tables; no calculation is called so."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the index; ``words`` are those it is found by."""

    name: str
    title: str
    about: str
    words: tuple[str, ...]

    def fits(self, sought: Sequence[str]) -> bool:
        """Whether every word sought begins one of the words."""
        return all(any(each.startswith(word) for each in self.words) for word in sought)


def entries(catalogue: Catalogue) -> tuple[Entry, ...]:
    """Return all entries in the order of their titles."""
    found = [
        _entry(
            each.name, *(catalogue.text(each.text(part)) for part in ("title", "about", "words"))
        )
        for each in every_calculation()
    ]
    found.sort(key=lambda each: in_order(each.title))
    return (*found, _tables(catalogue))


def _tables(catalogue: Catalogue) -> Entry:
    titles = " ".join(str(document(name)["title"]) for name in table_names())
    title = catalogue.text("ui_calculations.tables.title")
    about = catalogue.text("ui_calculations.tables.about")
    return _entry(TABLES, title, about, titles)


def table_names() -> tuple[str, ...]:
    """Return the names of the reference tables, and after them those of the tariffs."""
    return (*names_in(""), *(f"{FOLDER}/{name}" for name in tariff_names()))


def _entry(name: str, title: str, about: str, more: str = "") -> Entry:
    words = folded_words(f"{title} {about} {name} {more}")
    return Entry(name, title, about, tuple(dict.fromkeys(words)))


def found(every: Sequence[Entry], text: str) -> list[Entry]:
    """Return the entries that a search finds: those found by their titles first."""
    sought = sought_words(text)
    fitting = [each for each in every if each.fits(sought)]
    return sorted(fitting, key=lambda each: not _by_title(each, sought))


def _by_title(entry: Entry, sought: Sequence[str]) -> bool:
    title = folded_words(entry.title)
    return all(any(each.startswith(word) for each in title) for word in sought)
