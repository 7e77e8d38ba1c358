"""Labels, hairlines, buttons and actions, made the same way everywhere."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import (
    QFrame,
    QLabel,
    QLayout,
    QMainWindow,
    QPushButton,
    QScrollArea,
    QWidget,
)

from formulary.quantity.writing import held_together
from ui import theme

W = TypeVar("W", bound=QWidget)
HEADINGS = ("title", "heading", "task")
KEY_GAP = "\N{EN SPACE}"


def set_role(widget: W, role: str) -> W:
    """Give a widget a role of the style sheet, such as "note", "heading" or "accent"."""
    if widget.property("role") != role:
        widget.setProperty("role", role)
        widget.style().unpolish(widget)
        widget.style().polish(widget)
    return widget


class Heading(QLabel):
    """A label that never parts a figure from its unit where it wraps, as names of formulas hold."""

    def setText(self, text: str) -> None:
        """Show a text, its figures held together."""
        super().setText(held_together(text))


def label(text: str = "", role: str = "", *, wrap: bool = True) -> QLabel:
    """Return a label; its text wraps, so that no page needs to scroll sideways."""
    made = Heading() if role in HEADINGS else QLabel()
    made.setText(text)
    made.setWordWrap(wrap)
    made.setTextFormat(Qt.TextFormat.PlainText)
    return set_role(made, role)


def hairline() -> QFrame:
    """Return the line that parts two groups."""
    return set_role(QFrame(), "hairline")


def scrolled(inner: QWidget, name: str) -> QScrollArea:
    """Return a widget that scrolls up and down where the height is short, never sideways."""
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setAccessibleName(name)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setWidget(inner)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    inner.setAutoFillBackground(False)
    area.viewport().setAutoFillBackground(False)
    return area


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
    inside = Qt.ShortcutContext.WidgetWithChildrenShortcut
    # The window's own keys work even where nothing has the focus.
    whole = isinstance(owner, QMainWindow)
    made.setShortcutContext(Qt.ShortcutContext.WindowShortcut if whole else inside)
    # Without the signal's own argument, whether the action is checked.
    made.triggered.connect(lambda _: slot())
    owner.addAction(made)
    return made


def button(of: QAction, *, accent: bool = False, keys: str = "") -> QPushButton:
    """Return the button of an action, its keys written beside its words.

    ``keys`` are those of somebody above who does the same, such as the page's Esc.
    """
    made = QPushButton()
    shown = of.shortcut() if not keys else QKeySequence(keys)
    native = shown.toString(QKeySequence.SequenceFormat.NativeText)

    def follow() -> None:
        made.setText(f"{of.text()}{KEY_GAP}{native}" if native else of.text())
        made.setAccessibleName(of.text())
        made.setEnabled(of.isEnabled())
        # Shown before it has a parent, it would be a window of its own.
        if made.parentWidget() is not None or not of.isVisible():
            made.setVisible(of.isVisible())

    follow()
    of.changed.connect(follow)
    made.clicked.connect(of.trigger)
    made.setAutoDefault(False)
    return set_role(made, "accent" if accent else "")
