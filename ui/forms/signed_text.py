"""Sentences with their sign beside them; without any it takes no room."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from ui import signs, theme
from ui.context import Context
from ui.widgets.words import label, spaced

_WORDS = {signs.Sign.OCTAGON: "ui.severity.stop", signs.Sign.TRIANGLE: "ui.severity.reason"}


class SignedText(QWidget):
    """A sign, its word and what it says; ``role`` is the ink. Not ``worded``, it says it itself."""

    def __init__(
        self, context: Context, sign: signs.Sign, role: str, *, worded: bool = True
    ) -> None:
        super().__init__()
        self._word = (
            context.text("ui_forms.worded", word=context.text(_WORDS[sign])) if worded else ""
        )
        self._sign = sign
        self._picture = QLabel()
        self._label = label(role=role)
        row = QHBoxLayout(self)
        spaced(row, inside=8)
        row.addWidget(self._picture, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._label, 1)
        self._draw()
        self.hide()

    def text(self) -> str:
        """Return what is said."""
        return self._label.text()

    def say(self, sentences: Sequence[str]) -> None:
        """Say these sentences and no others."""
        self._label.setText("\n".join(f"{self._word}{each}" for each in sentences))
        self._show_or_hide()

    def event(self, event: QEvent) -> bool:
        """Show what was said before there was a page to say it on."""
        if event.type() == QEvent.Type.ParentChange:
            self._show_or_hide()
        return super().event(event)

    def _show_or_hide(self) -> None:
        """Without a parent it would be a window of its own, and take the keys from the other."""
        self.setVisible(self.parentWidget() is not None and bool(self.text()))

    def changeEvent(self, event: QEvent) -> None:
        """Draw the sign anew when the colours change."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._draw()

    def _draw(self) -> None:
        self._picture.setPixmap(signs.pixmap(self._sign, theme.px(16) * 2))
