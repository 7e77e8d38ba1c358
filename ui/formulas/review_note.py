"""How many formulas are overdue for review, and the way to them; without any it takes no room."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from ui import theme
from ui.context import Context
from ui.forms.signed_text import SignedText
from ui.formulas.reading import Entry, overdue_entries
from ui.signs import Sign
from ui.widgets.words import action, button, spaced

AREA = "ui_formulas"


class ReviewNote(QWidget):
    """Says what is overdue; ``wanted`` hands it over to be listed."""

    wanted = Signal(object)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._entries: tuple[Entry, ...] = ()
        self.said = SignedText(context, Sign.TRIANGLE, "thought", worded=False)
        words = context.text(f"{AREA}.show_overdue")
        self.show_them = action(self, words, "Ctrl+Shift+E", self._show)
        row = QHBoxLayout(self)
        spaced(row, inside=16)
        row.setContentsMargins(theme.px(16), theme.px(8), theme.px(16), theme.px(8))
        row.addWidget(self.said, 1)
        row.addWidget(button(self.show_them))
        self._take(())

    def ask(self) -> None:
        """Ask anew what is overdue."""
        self._context.do(overdue_entries, self._take, lane="formulas.reviews")

    def _take(self, entries: tuple[Entry, ...]) -> None:
        self._entries = entries
        count = len(entries)
        self.said.say([self._context.text(f"{AREA}.overdue", n=count)] if count else [])
        self.show_them.setEnabled(bool(count))
        self.setVisible(bool(count))

    def _show(self) -> None:
        self.wanted.emit(self._entries)
