"""The sign and words beside a save button while something isn't saved."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QWidget

from ui import signs, theme
from ui.context import Context
from ui.forms.signed_text import SignedText


class Unsaved(QWidget):
    """Shows that something isn't saved yet; takes no room otherwise."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._text = SignedText(context, signs.Sign.TRIANGLE, "thought", worded=False)
        self.setMinimumWidth(theme.px(160))
        row = QHBoxLayout(self)
        # In the middle of the height of the buttons beside it.
        row.setContentsMargins(0, theme.px(8), 0, 0)
        row.addWidget(self._text)
        # Said before it has its place, it would be a window of its own and take the focus.
        self._text.say([context.text("ui_forms.unsaved")])
        self.hide()
