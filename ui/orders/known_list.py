"""Patients or prescribers who are known already, to be picked rather than typed again."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QListWidget, QVBoxLayout, QWidget

from formulary.verbs.find_person import Known
from ui.context import Context
from ui.forms.days import today
from ui.orders.order_facts import known_said
from ui.orders.order_model import AREA
from ui.widgets.words import action, label, spaced

_ROWS = 4


class KnownList(QWidget):
    """Shows those found; ``picked`` tells which one is meant."""

    picked = Signal(object)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._known: tuple[Known, ...] = ()
        self.heading = label(role="quiet")
        self.list = QListWidget()
        self.list.setAccessibleName(context.text(f"{AREA}.known"))
        self.list.setFixedHeight(self.list.fontMetrics().lineSpacing() * 2 * _ROWS)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setWordWrap(True)
        box = QVBoxLayout(self)
        spaced(box, inside=4)
        box.addWidget(self.heading)
        box.addWidget(self.list)
        action(self.list, context.text(f"{AREA}.pick"), "Return|Enter", self._pick)
        self.list.itemDoubleClicked.connect(lambda _: self._pick())
        self.hide()

    def show_known(self, known: Sequence[Known]) -> None:
        """Offer these; the first is the current one."""
        self._known = tuple(known)
        self.heading.setText(self._context.text(f"{AREA}.known_found", n=len(known)))
        self.list.clear()
        day = today(self._context)
        self.list.addItems([known_said(self._context, each, day) for each in known])
        self.setVisible(bool(known))
        if known:
            self.list.setCurrentRow(0)
            self.list.setFocus()

    def close_list(self) -> None:
        """Offer nobody any more."""
        self._known = ()
        self.list.clear()
        self.hide()

    def _pick(self) -> None:
        row = self.list.currentRow()
        if 0 <= row < len(self._known):
            chosen = self._known[row]
            self.close_list()
            self.picked.emit(chosen)
