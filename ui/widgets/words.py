"""Labels, hairlines, buttons and actions, made the same way everywhere."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QFrame, QLabel, QLayout, QPushButton, QWidget

from ui import theme

W = TypeVar("W", bound=QWidget)
KEY_GAP = "\N{EN SPACE}"


def set_role(widget: W, role: str) -> W:
    """Give a widget a role of the style sheet, such as "note", "heading" or "accent"."""
    if widget.property("role") != role:
        widget.setProperty("role", role)
        widget.style().unpolish(widget)
        widget.style().polish(widget)
    return widget


def label(text: str = "", role: str = "", *, wrap: bool = True) -> QLabel:
    """Return a label; its text wraps, so that no page needs to scroll sideways."""
    made = QLabel(text)
    made.setWordWrap(wrap)
    made.setTextFormat(Qt.TextFormat.PlainText)
    return set_role(made, role)


def hairline() -> QFrame:
    """Return the line that parts two groups."""
    return set_role(QFrame(), "hairline")


def spaced(layout: QLayout, *, inside: int = 12, around: int = 0) -> None:
    """Set a layout's spacing and margins, in pixels of the grid."""
    layout.setSpacing(theme.px(inside))
    layout.setContentsMargins(*[theme.px(around)] * 4)


def action(owner: QWidget, text: str, keys: str, slot: Callable[[], object]) -> QAction:
    """Return an action with its keys, live while ``owner`` or anything inside has the focus.

    The sheet of keys lists it, since it is among its owner's actions.
    """
    made = QAction(text, owner)
    if keys:
        made.setShortcuts([QKeySequence(each) for each in keys.split("|")])
    made.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
    made.triggered.connect(lambda: slot())
    owner.addAction(made)
    return made


def button(of: QAction, *, accent: bool = False) -> QPushButton:
    """Return the button of an action, its keys written beside its words."""
    made = QPushButton()

    def follow() -> None:
        keys = of.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
        made.setText(f"{of.text()}{KEY_GAP}{keys}" if keys else of.text())
        made.setAccessibleName(of.text())
        made.setEnabled(of.isEnabled())
        made.setVisible(of.isVisible())

    follow()
    of.changed.connect(follow)
    made.clicked.connect(of.trigger)
    made.setAutoDefault(False)
    return set_role(made, "accent" if accent else "")
