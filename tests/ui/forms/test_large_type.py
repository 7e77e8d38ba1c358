from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractScrollArea, QApplication, QListView, QWidget
from pytestqt.qtbot import QtBot

from formulary.desk import Desk
from formulary.equipment import Noted
from tests.ui.at_desk import start
from ui import theme
from ui.bench.page import BenchPage
from ui.calculations.page import CalculationsPage
from ui.context import Context
from ui.ingredients.page import IngredientsPage
from ui.labels.page import LabelsPage
from ui.orders.page import OrdersPage
from ui.register.page import RegisterPage
from ui.settings.page import SettingsPage

Show = Callable[[QWidget], None]


@pytest.fixture
def large(context: Context, qapp: QApplication) -> Iterator[Context]:
    """Return a context whose type is twice as large."""
    theme.apply(qapp, type_factor=2.0, dark=False)
    yield context
    theme.apply(qapp, type_factor=1.0, dark=False)


def sideways(page: QWidget) -> list[str]:
    areas = page.findChildren(QAbstractScrollArea)
    seen = [each for each in areas if each.isVisible()]
    for each in seen:
        # A list wraps its lines a moment after it has its width.
        if isinstance(each, QListView):
            each.doItemsLayout()
    return [each.accessibleName() for each in seen if each.horizontalScrollBar().maximum() > 0]


def test_the_register_never_scrolls_sideways(large: Context, desk: Desk, show: Show) -> None:
    lot = start(desk, "zinc paste", "3 x 60 g").lot
    page = RegisterPage(large)
    show(page)
    assert sideways(page) == []
    page.take(lot)
    show(page)
    assert sideways(page) == []


def test_the_labels_never_scroll_sideways(large: Context, desk: Desk, show: Show) -> None:
    page = LabelsPage(large)
    page.take(start(desk, "zinc paste", "3 x 60 g").lot)
    show(page)
    assert sideways(page) == []


def test_the_ingredients_never_scroll_sideways(large: Context, show: Show) -> None:
    page = IngredientsPage(large)
    show(page)
    page.index.list.setCurrentRow(3)
    assert sideways(page) == []


def test_the_calculations_never_scroll_sideways(large: Context, show: Show) -> None:
    page = CalculationsPage(large)
    for name in ("ethanol-dilution", "suppositories", "alligation"):
        page.take(name)
        page.sheet.example.trigger()
        show(page)
        assert sideways(page) == []


def test_the_settings_never_scroll_sideways(large: Context, show: Show) -> None:
    page = SettingsPage(large)
    show(page)
    for row in range(page.sections.count()):
        page.sections.setCurrentRow(row)
        QApplication.processEvents()
        assert sideways(page) == []


def in_view(widget: QWidget) -> bool:
    """Whether a widget's middle isn't scrolled away."""
    return not widget.visibleRegion().isEmpty() and widget.visibleRegion().contains(
        widget.rect().center()
    )


def test_the_log_of_equipment_never_scrolls_sideways(
    large: Context, show: Show, settle: Callable[[], None]
) -> None:
    page = BenchPage(large)
    show(page)
    page.to_equipment.trigger()
    settle()
    page.equipment.acts[Noted.READ].trigger()
    assert sideways(page) == []


def test_where_the_cursor_goes_in_a_long_form_is_in_view(
    large: Context, show: Show, settle: Callable[[], None], qtbot: QtBot
) -> None:
    page = OrdersPage(large)
    show(page)
    page.listing.made_up.trigger()
    settle()
    page.made_up.new.trigger()
    form = page.made_up.question.form
    assert form is not None
    qtbot.waitUntil(lambda: in_view(form.inputs["product"]))
    QTest.keyClicks(page.focusWidget(), "Granules")
    QTest.keyClick(page.focusWidget(), Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: in_view(form.inputs["maker_lot"]))
    assert sideways(page) == []
