"""What a look into a backup or a check of the records came to, where it is seen."""

from __future__ import annotations

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from formulary.messages import Message
from ui.context import Context
from ui.forms.signed_text import SignedText
from ui.signs import Sign
from ui.widgets.words import label, spaced


class Answer(QWidget):
    """Sentences; those about what isn't as it should be stand under the sign that stops."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._bad = SignedText(context, Sign.OCTAGON, "stop")
        self._said = label()
        box = QVBoxLayout(self)
        spaced(box, inside=0)
        box.addWidget(self._bad)
        box.addWidget(self._said)

    def text(self) -> str:
        """Return what is said."""
        return self._bad.text() or self._said.text()

    def say(self, *said: Message, bad: bool = False) -> None:
        """Say these sentences and no others."""
        sentences = [self._context.said(each) for each in said]
        self._bad.say(sentences if bad else [])
        self._said.setText("" if bad else "\n".join(sentences))

    def bring_into_view(self) -> None:
        """Scroll to it, once it is as high as what it says."""
        QTimer.singleShot(0, self, self._scroll)

    def _scroll(self) -> None:
        around = self.parentWidget()
        while around is not None and not isinstance(around, QScrollArea):
            around = around.parentWidget()
        if isinstance(around, QScrollArea):
            around.ensureWidgetVisible(self)
