"""Every paper there is, by what it is of: its pages, the title of its file and its bookmarks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from formulary.desk import Desk
from formulary.formula.version import Version
from formulary.labels.page import UNSAID, Bookmark, Origin, Page
from formulary.papers.blanks import reserved_blanks
from formulary.papers.formula_sheet import formula_sheet
from formulary.papers.formula_subject import of_version
from formulary.papers.history_paper import history_paper
from formulary.papers.label_list import label_list
from formulary.papers.pack import Told, inspection_pack
from formulary.papers.patient_leaflet import patient_leaflet
from formulary.papers.printed import made_here
from formulary.papers.stock_paper import stock_list, stock_today
from formulary.papers.subject import of_lot, without_lot
from formulary.papers.worksheet import worksheet
from formulary.verbs.issue_labels import LeafletWanted
from formulary.verbs.read_history import history_of
from formulary.verbs.read_period import Days
from formulary.verbs.start_preparation import Order


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper ready to be written; ``name`` is proposed for its file and names no person.

    ``reserved`` are the lots that were set aside for it, which are given whatever becomes of it.
    """

    name: str
    pages: tuple[Page, ...]
    bookmarks: tuple[Bookmark, ...] = ()
    reserved: tuple[str, ...] = ()
    origin: Origin = UNSAID


def _made(
    desk: Desk,
    name: str,
    pages: tuple[Page, ...],
    bookmarks: tuple[Bookmark, ...] = (),
    reserved: tuple[str, ...] = (),
) -> Paper:
    return Paper(name, pages, bookmarks, reserved, made_here(desk))


def of_formula(desk: Desk, version: Version) -> Paper:
    """Return a version's formula sheet."""
    return _made(desk, version.content.code, formula_sheet(of_version(desk, version)))


def worksheet_of(desk: Desk, version: Version, order: Order) -> Paper:
    """Return a version's worksheet with its targets, before there is a lot."""
    return _made(desk, version.content.code, worksheet(without_lot(desk, version, order)))


def blanks_of(desk: Desk, version: Version, order: Order, count: int, reason: str) -> Paper:
    """Set lots aside and return a blank for each; see :func:`reserved_blanks`."""
    lots, pages = reserved_blanks(desk, version, order, count, reason)
    return _made(desk, lots[0], pages, reserved=lots)


def leaflet_of(desk: Desk, lot: str, language: str = "") -> Paper:
    """Return the leaflet of a lot; see :func:`formulary.papers.patient_leaflet.patient_leaflet`."""
    return _made(desk, f"{lot}-leaflet", patient_leaflet(desk, lot, language=language))


def history_named(desk: Desk, record: str, words: str = "") -> Paper:
    """Return the history of a record, or its entries with these words; its name says no person."""
    history = history_of(desk.store, record)
    return _made(desk, f"history-{history.subject.kind}", history_paper(desk, history, words))


def leaflets_of(desk: Desk, wanted: Sequence[LeafletWanted]) -> Paper:
    """Return the leaflets that go with labels: of each lot as many as it has containers."""
    pages = tuple(
        page
        for each in wanted
        for page in patient_leaflet(desk, each.lot, language=each.language) * each.copies
    )
    return _made(desk, f"{wanted[0].lot}-leaflet", pages)


def stock_now(desk: Desk) -> Paper:
    """Return the stock list of this moment."""
    return _made(desk, f"stock-{desk.today.isoformat()}", stock_list(stock_today(desk)))


def pack_of(desk: Desk, days: Days, told: Told | None = None) -> Paper:
    """Return the inspection pack of a period; ``told`` hears how far it is and may stop it."""
    found = inspection_pack(desk, days, told)
    name = f"inspection-{days.first.isoformat()}-{days.last.isoformat()}"
    return _made(desk, name, found.pages, found.bookmarks)


def record_of(desk: Desk, lot: str) -> Paper:
    """Return a preparation's record. Raises :class:`formulary.errors.NotFound`."""
    return _made(desk, lot, worksheet(of_lot(desk, lot)))


def labels_of(desk: Desk, lot: str) -> Paper:
    """Return the list of a preparation's labels. Raises :class:`formulary.errors.NotFound`."""
    return _made(desk, f"{lot}-labels", label_list(of_lot(desk, lot)))


OF_LOT: dict[str, Callable[[Desk, str], Paper]] = {
    "record": record_of,
    "leaflet": leaflet_of,
    "labels": labels_of,
}
"""The papers of a lot, by their names."""
