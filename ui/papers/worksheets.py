"""Worksheets and records as papers: of a formula, of a lot, and blanks with lots set aside."""

from __future__ import annotations

from typing import TYPE_CHECKING

from formulary.desk import Desk
from formulary.verbs.start_preparation import Order
from ui.papers.paper import Draw

if TYPE_CHECKING:
    from formulary.papers.every_paper import Paper

# Imported on the worker, when first needed: papers bring ReportLab with them.


def of_formula(version_id: str, order: Order) -> Draw:
    """Return what draws a version's worksheet with its targets, before there is a lot."""

    def draw(desk: Desk) -> Paper:
        from formulary.papers.every_paper import worksheet_of
        from formulary.verbs.review_formula import known_version

        return worksheet_of(desk, known_version(desk.store, version_id), order)

    return draw


def of_preparation(lot: str) -> Draw:
    """Return what draws a preparation's worksheet, filled with what was done so far."""

    def draw(desk: Desk) -> Paper:
        from formulary.papers.every_paper import record_of

        return record_of(desk, lot)

    return draw


def blanks(version_id: str, order: Order, count: int, reason: str) -> Draw:
    """Return what sets lots aside and draws a blank for each."""

    def draw(desk: Desk) -> Paper:
        from formulary.papers.every_paper import blanks_of
        from formulary.verbs.review_formula import known_version

        return blanks_of(desk, known_version(desk.store, version_id), order, count, reason)

    return draw
