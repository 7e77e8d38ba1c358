"""The strip above the pages: how far a backup is, or what somebody must hear to lose nothing."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QWidget

from ui.context import Context, PageName
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
        self.to_key = action(self, text(f"{AREA}.to_key"), "", self._to_key)
        self.later = action(self, text(f"{AREA}.later"), "", self._put_off)
        row = QHBoxLayout(self)
        spaced(row, around=8)
        for widget in (self.doing, self.bar):
            row.addWidget(widget)
        row.addWidget(self.old, 1)
        self._buttons = [button(each) for each in (self.cancel, self.now, self.to_key)]
        self._put_off_button = button(self.later)
        for each in (*self._buttons, self._put_off_button):
            row.addWidget(each)
        keeper.changed.connect(self.show_state)
        self.show_state()

    def show_state(self) -> None:
        """Show what there is to say now."""
        keeper = self._keeper
        busy = keeper.run is not None
        idle = not busy and not self._later
        old = idle and keeper.is_overdue
        uncopied = idle and not old and keeper.is_key_uncopied
        self.bar.setRange(0, keeper.whole)
        self.bar.setValue(keeper.part)
        for widget in (self.doing, self.bar):
            widget.setVisible(busy)
        said = self._age() if old else self._context.text(f"{AREA}.key_uncopied")
        self.old.say([said] if old or uncopied else [])
        for each, wanted in zip(self._buttons, (busy, old, uncopied), strict=True):
            each.setVisible(wanted)
        self._put_off_button.setVisible(old or uncopied)
        self.setVisible(busy or old or uncopied)

    def _age(self) -> str:
        newest = self._keeper.newest
        if newest is None:
            return self._context.text(f"{AREA}.none")
        days = (self._context.desk.clock.now() - newest).days
        return self._context.text(f"{AREA}.old", n=days, day=newest.date())

    def _cancel(self) -> None:
        if self._keeper.run is not None:
            self._keeper.run.cancel()

    def _to_key(self) -> None:
        self._context.go(PageName.SETTINGS, "backups")

    def _now(self) -> None:
        self._keeper.back_up()

    def _put_off(self) -> None:
        """Say no more of it until the window is opened anew."""
        self._later = True
        self.show_state()
