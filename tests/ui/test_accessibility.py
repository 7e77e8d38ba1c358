"""Every place that the focus can reach has a name for a screen reader."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from tests.ui.conftest import settled
from ui.context import PageName
from ui.first_start.page import FirstStartPage
from ui.formulas.page import FormulasPage
from ui.window import Window

# Parts that Qt makes inside its own widgets; the widget around them has the name.
_QT_OWN = ("qt_", "QComboBoxPrivate", "QAbstractItemView")


def nameless(root: QWidget) -> list[str]:
    """Return the focusable widgets below ``root`` that say nothing about themselves.

    What is hidden by itself gets its words when it is shown.
    """
    found = []
    for widget in root.findChildren(QWidget):
        if widget.focusPolicy() == Qt.FocusPolicy.NoFocus or widget.isHidden():
            continue
        if _is_inner(widget):
            continue
        accessible = QAccessible.queryAccessibleInterface(widget)
        if not accessible.text(QAccessible.Text.Name).strip():
            found.append(f"{type(widget).__name__} {widget.objectName()} in {_path(widget)}")
    return found


def _is_inner(widget: QWidget) -> bool:
    parent = widget.parentWidget()
    inside_list = parent is not None and parent.metaObject().className().startswith(_QT_OWN)
    return inside_list or widget.objectName().startswith(_QT_OWN) or widget.isWindow()


def _path(widget: QWidget) -> str:
    names = []
    parent = widget.parentWidget()
    while parent is not None:
        names.append(type(parent).__name__)
        parent = parent.parentWidget()
    return " < ".join(names[:4])


@pytest.mark.parametrize("name", list(PageName))
def test_each_page_names_what_can_have_the_focus(
    qtbot: QtBot, window: Window, name: PageName
) -> None:
    window.show_page(name.value)
    settled(qtbot, window)
    assert nameless(window) == []


def test_the_editor_names_every_field(window: Window, settle: Callable[[], None]) -> None:
    page = window.pages["formulas"]
    assert isinstance(page, FormulasPage)
    page.edit.trigger()
    settle()
    assert nameless(window) == []


def test_the_first_start_names_its_fields(qtbot: QtBot, window: Window) -> None:
    page = FirstStartPage(window.context)
    qtbot.addWidget(page)
    assert nameless(page) == []


def test_the_help_names_its_text(window: Window) -> None:
    window._show_help()
    assert nameless(window) == []
