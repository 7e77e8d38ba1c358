"""What changed between versions and what is overdue for review, by keys on the page of formulas."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime

from PySide6.QtCore import Qt

from formulary.desk import Desk
from formulary.house import House
from formulary.verbs.keep_records import save_house
from tests.ui.at_desk import plain
from tests.ui.formulas.conftest import Find, press
from ui.context import Topic
from ui.formulas.page import FormulasPage
from ui.window import Window

CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
Settle = Callable[[], None]


class In2030:
    """A clock that shows a day on which every review of the sample is overdue."""

    def now(self) -> datetime:
        return datetime(2030, 1, 2, 9, tzinfo=UTC)


def leaf(page: FormulasPage) -> str:
    return plain(page.leaf.toPlainText())


def test_a_key_shows_what_changed_and_escape_the_formula(
    page: FormulasPage, find: Find, settle: Settle
) -> None:
    find("urea cream")
    press(Qt.Key.Key_D, CTRL)
    settle()
    shown = leaf(page)
    assert "from version 1 (withdrawn) to version 2 (in use)" in shown
    assert "Purified water: quantity" in shown
    assert "Reason given: On storage the pH rose" in shown
    press(Qt.Key.Key_Escape)
    assert "Composition" in leaf(page)


def test_the_key_past_the_oldest_version_shows_the_formula_again(
    page: FormulasPage, find: Find, settle: Settle
) -> None:
    find("urea cream")
    press(Qt.Key.Key_D, CTRL)
    settle()
    press(Qt.Key.Key_D, CTRL)
    settle()
    assert "Composition" in leaf(page)
    assert not page.comparison.showing


def test_one_version_is_compared_with_nothing(page: FormulasPage, find: Find) -> None:
    find("zinc paste")
    assert not page.comparison.compare.isEnabled()


def test_what_is_overdue_for_review_is_said_and_listed(
    page: FormulasPage, window: Window, find: Find, settle: Settle
) -> None:
    assert not page.reviews.isVisible()
    window.context.seat(replace(window.context.desk, clock=In2030()))
    window.context.tell_changed(Topic.FORMULAS)
    settle()
    assert "reviews of" in page.reviews.said.text()
    press(Qt.Key.Key_E, CTRL | SHIFT)
    settle()
    first = page.model.entry(0)
    assert first is not None
    assert first.due is not None
    assert "Review overdue" in leaf(page)
    find("zinc paste")
    assert page.model.rowCount() < 5


def test_the_house_says_after_how_many_months(
    page: FormulasPage, window: Window, find: Find, settle: Settle
) -> None:
    def never(desk: Desk) -> House:
        return save_house(desk, replace(desk.house, review_months=0))

    find("zinc paste")
    assert "looked at again by" in leaf(page)
    window.context.do(never, changes=(Topic.HOUSE,))
    settle()
    settle()
    assert "looked at again by" not in leaf(page)
