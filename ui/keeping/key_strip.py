"""The strip above the pages: the key of the names isn't on this computer, or only here."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QWidget

from ui.context import Context
from ui.forms.signed_text import SignedText
from ui.keeping.names_key import AREA, NamesKey
from ui.signs import Sign
from ui.widgets.words import action, button, spaced


class KeyStrip(QWidget):
    """Takes no room while the key is here and a copy of it was kept.

    It has its ``parent`` from the first: shown without one, it would be a window of its own.
    """

    def __init__(self, context: Context, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("header")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._context = context
        self._later = False
        self.key = NamesKey(context, self)
        text = context.text
        self.said = SignedText(context, Sign.TRIANGLE, "thought", worded=False)
        self.save = action(self, text(f"{AREA}.save_key"), "", self.key.save)
        self.take = action(self, text(f"{AREA}.take_key"), "", self.key.take_over)
        self.later = action(self, text(f"{AREA}.later"), "", self._put_off)
        row = QHBoxLayout(self)
        spaced(row, around=8)
        row.addWidget(self.said, 1)
        self._buttons = [button(each) for each in (self.save, self.take, self.later)]
        for each in self._buttons:
            row.addWidget(each)
        self.key.changed.connect(self.show_state)
        context.opened.connect(self.show_state)
        self.show_state()

    def show_state(self) -> None:
        """Show what there is to say now."""
        key = self.key
        missing = key.is_under_one and not key.is_here
        alone = key.is_here and not key.is_saved
        wanted = (missing or alone) and not self._later
        said = self._context.text(f"{AREA}.{'key_missing' if missing else 'key_alone'}")
        self.said.say([said] if wanted else [])
        save, take, _later = self._buttons
        save.setVisible(alone)
        take.setVisible(missing)
        self.save.setEnabled(key.may("save_names_key"))
        self.take.setEnabled(key.may("take_over_names_key"))
        self.setVisible(wanted)

    def _put_off(self) -> None:
        """Say no more of it until the window is opened anew."""
        self._later = True
        self.show_state()
