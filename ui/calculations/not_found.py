"""Stands in place of a calculation where a search finds none: what was typed, and words to try."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QVBoxLayout, QWidget

from ui.context import Context
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_calculations.miss"


class NotFound(QWidget):
    """``wanted`` tells a near word that the person takes up."""

    wanted = Signal(str)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.said, self.advice = label(role="heading"), label(role="quiet")
        self._words = QWidget()
        self._row = FlowLayout(self._words)
        self.near: list[QAction] = []
        box = QVBoxLayout(self)
        spaced(box, inside=12, around=24)
        for widget in (self.said, self.advice, self._words):
            box.addWidget(widget)
        box.addStretch(1)

    def show_miss(self, typed: str, near: Sequence[str]) -> None:
        """Say what found nothing, and offer the near words."""
        text = self._context.text
        self.said.setText(text(f"{AREA}.nothing", typed=typed.strip()))
        self.advice.setText(text(f"{AREA}.near" if near else f"{AREA}.no_near"))
        self._clear()
        for word in near:
            self._offer(word)
        self._words.setVisible(bool(near))

    def _offer(self, word: str) -> None:
        offered = action(self, word, "", lambda: self.wanted.emit(word))
        self.near.append(offered)
        self._row.addWidget(button(offered))

    def _clear(self) -> None:
        for each in self.near:
            self.removeAction(each)
            each.deleteLater()
        self.near = []
        while (item := self._row.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
