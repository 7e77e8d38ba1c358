"""Worksheets and records as papers: of a formula, of a lot, and blanks with lots set aside."""

from __future__ import annotations

from formulary.desk import Desk
from formulary.verbs.start_preparation import Order
from ui.papers.paper import Draw, Paper

# Imported on the worker, when first needed: papers bring ReportLab with them.


def of_formula(version_id: str, order: Order) -> Draw:
    """Return what draws a version's worksheet with its targets, before there is a lot."""

    def draw(desk: Desk) -> Paper:
        from formulary.papers.subject import without_lot
        from formulary.papers.worksheet import worksheet
        from formulary.verbs.review_formula import known_version

        version = known_version(desk.store, version_id)
        return Paper(worksheet(without_lot(desk, version, order)), version.content.code)

    return draw


def of_preparation(lot: str) -> Draw:
    """Return what draws a preparation's worksheet, filled with what was done so far."""

    def draw(desk: Desk) -> Paper:
        from formulary.papers.subject import of_lot
        from formulary.papers.worksheet import worksheet

        return Paper(worksheet(of_lot(desk, lot)), lot)

    return draw


def blanks(version_id: str, order: Order, count: int, reason: str) -> Draw:
    """Return what sets lots aside and draws a blank for each."""

    def draw(desk: Desk) -> Paper:
        from formulary.papers.blanks import reserved_blanks
        from formulary.verbs.review_formula import known_version

        version = known_version(desk.store, version_id)
        lots, pages = reserved_blanks(desk, version, order, count, reason)
        return Paper(pages, lots[0], lots)

    return draw
