"""What the index lists: every calculation by its title, and the reference tables at the end."""

from __future__ import annotations

from formulary.calculating import search
from formulary.calculating.search import Entry
from formulary.calculating.tables import document, names_in
from formulary.calculating.tariffs import FOLDER, tariff_names
from formulary.catalogue import Catalogue

TABLES = "tables"
"""The name of the entry for the reference tables; no calculation is called so."""


def entries(catalogue: Catalogue) -> tuple[Entry, ...]:
    """Return all entries in the order of their titles."""
    return (*search.entries(catalogue), _tables(catalogue))


def _tables(catalogue: Catalogue) -> Entry:
    titles = " ".join(str(document(name)["title"]) for name in table_names())
    title = catalogue.text("ui_calculations.tables.title")
    about = catalogue.text("ui_calculations.tables.about")
    return Entry(TABLES, title, about, more=titles)


def table_names() -> tuple[str, ...]:
    """Return the names of the reference tables, and after them those of the tariffs."""
    return (*names_in(""), *(f"{FOLDER}/{name}" for name in tariff_names()))
