"""The strip above the pages: how far a backup is, or that the newest one is old."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QWidget

from ui.context import Context
from ui.forms.signed_text import SignedText
from ui.keeping.keeper import Keeper
from ui.signs import Sign
from ui.widgets.words import action, button, label, spaced

AREA = "ui_keeping"


class KeepingStrip(QWidget):
    """Takes no room while there is nothing to say.

    It has its ``parent`` from the first: shown without one, it would be a window of its own.
    """

    def __init__(self, context: Context, keeper: Keeper, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("header")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._context, self._keeper = context, keeper
        self._later = False
        text = context.text
        self.doing = label(text(f"{AREA}.doing"), wrap=False)
        self.bar = QProgressBar()
        self.bar.setAccessibleName(text(f"{AREA}.doing"))
        self.old = SignedText(context, Sign.TRIANGLE, "thought", worded=False)
        self.cancel = action(self, text(f"{AREA}.cancel"), "", self._cancel)
        self.now = action(self, text(f"{AREA}.now"), "", self._now)
        self.later = action(self, text(f"{AREA}.later"), "", self._put_off)
        row = QHBoxLayout(self)
        spaced(row, around=8)
        for widget in (self.doing, self.bar):
            row.addWidget(widget)
        row.addWidget(self.old, 1)
        self._buttons = [button(each) for each in (self.cancel, self.now, self.later)]
        for each in self._buttons:
            row.addWidget(each)
        keeper.changed.connect(self.show_state)
        self.show_state()

    def show_state(self) -> None:
        """Show what there is to say now."""
        keeper = self._keeper
        busy = keeper.run is not None
        old = not busy and not self._later and keeper.is_overdue
        self.bar.setRange(0, keeper.whole)
        self.bar.setValue(keeper.part)
        for widget in (self.doing, self.bar, self._buttons[0]):
            widget.setVisible(busy)
        self.old.say([self._age()] if old else [])
        for each in self._buttons[1:]:
            each.setVisible(old)
        self.setVisible(busy or old)

    def _age(self) -> str:
        newest = self._keeper.newest
        if newest is None:
            return self._context.text(f"{AREA}.none")
        days = (self._context.desk.clock.now() - newest).days
        return self._context.text(f"{AREA}.old", n=days, day=newest.date())

    def _cancel(self) -> None:
        if self._keeper.run is not None:
            self._keeper.run.cancel()

    def _now(self) -> None:
        self._keeper.back_up()

    def _put_off(self) -> None:
        """Say no more of it until the window is opened anew."""
        self._later = True
        self.show_state()
