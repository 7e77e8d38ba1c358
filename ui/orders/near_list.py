"""The house formulas nearest to a prescription, each with what differs and the act to take it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.prescription.nearest import Near
from ui.context import Context
from ui.orders.order_model import AREA
from ui.widgets.words import action, button, label, spaced


class NearList(QWidget):
    """Shows near formulas; ``wanted`` tells the version to be made instead of a one-off."""

    wanted = Signal(str)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._shown: list[QWidget] = []
        self._box = QVBoxLayout(self)
        spaced(self._box, inside=8)
        self._box.addWidget(label(context.text(f"{AREA}.near"), "heading"))
        self.hide()

    def show_near(self, near: Sequence[Near]) -> None:
        """Show these and no others; without any it takes no room."""
        for part in self._shown:
            self._box.removeWidget(part)
            part.hide()
            part.deleteLater()
        self._shown = [self._one(each) for each in near]
        for part in self._shown:
            self._box.addWidget(part)
        self.setVisible(bool(near))

    def texts(self) -> tuple[str, ...]:
        """Return what is said of each."""
        return tuple(part.accessibleName() for part in self._shown)

    def _one(self, near: Near) -> QWidget:
        part = QWidget()
        percent = str(round(near.score * 100))
        named = {"code": near.code, "title": near.title, "percent": percent}
        said = self._context.text(f"{AREA}.near_to", **named)
        part.setAccessibleName(said)
        box = QVBoxLayout(part)
        spaced(box, inside=2)
        box.addWidget(label(said))
        differences = [self._context.said(each) for each in near.differences]
        box.addWidget(label("\n".join(differences), "quiet"))
        words = self._context.text(f"{AREA}.use_near", code=near.code)
        take = button(action(part, words, "", self._taker(near.version_id)))
        take.setAutoDefault(True)
        box.addWidget(take)
        return part

    def _taker(self, version_id: str) -> Callable[[], None]:
        return lambda: self.wanted.emit(version_id)
