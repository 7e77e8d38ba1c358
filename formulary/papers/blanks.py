"""Blanks for when the program isn't at hand: lots set aside, and a worksheet for each."""

from __future__ import annotations

from formulary.desk import Desk
from formulary.formula.version import Version
from formulary.labels.page import Page
from formulary.papers.subject import of_lot, without_lot
from formulary.papers.worksheet import worksheets
from formulary.verbs.reserve_blanks import reserve_blanks
from formulary.verbs.start_preparation import Order


def reserved_blanks(
    desk: Desk, version: Version, order: Order, count: int, reason: str
) -> tuple[tuple[str, ...], tuple[Page, ...]]:
    """Set so many lots aside and return them with the pages of their worksheets.

    What can't be printed is refused before any lot is given. Raises as
    :func:`formulary.verbs.reserve_blanks.reserve_blanks` says.
    """
    worksheets([without_lot(desk, version, order)])
    blanks = reserve_blanks(desk, version.id, order, count, reason)
    lots = tuple(each.lot for each in blanks)
    return lots, worksheets(of_lot(desk, lot) for lot in lots)
