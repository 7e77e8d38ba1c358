"""The working as lines that can be read, selected and copied; the last one states the figure."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from PySide6.QtCore import QMimeData, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QTextEdit

from formulary.quantity.writing import WORD_JOINER, unbroken
from ui import theme
from ui.context import Context


class Working(QTextEdit):
    """As tall as its lines; Ctrl+C copies what is selected, or asks for the whole to be copied."""

    copy_wanted = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setAccessibleName(context.text("ui_calculations.working"))
        self.setReadOnly(True)
        self.setTabChangesFocus(True)
        self.setFrameShape(self.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
            | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        self.viewport().setAutoFillBackground(False)

    def show_lines(self, lines: Sequence[str]) -> None:
        """Show these lines, the last one strong."""
        self.document().setDefaultFont(theme.font(theme.Size.TEXT))
        self.document().setDocumentMargin(0)
        *before, last = (escape(unbroken(each)) for each in lines or ("",))
        texts = [*before, f"<b>{last}</b>"]
        gap = f"margin-top:0; margin-bottom:{theme.px(6)}px"
        self.setHtml("".join(f"<p style='{gap}'>{each}</p>" for each in texts))
        self.fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let the copying key mean the whole where no part is selected."""
        whole = (
            event.matches(QKeySequence.StandardKey.Copy) and not self.textCursor().hasSelection()
        )
        if whole:
            self.copy_wanted.emit()
        else:
            super().keyPressEvent(event)

    def createMimeDataFromSelection(self) -> QMimeData:
        """Return what is selected without the marks that only hold it together here."""
        data = QMimeData()
        data.setText(self.textCursor().selection().toPlainText().replace(WORD_JOINER, ""))
        return data

    def fit(self) -> None:
        """Become as tall as the lines are at this width."""
        self.document().setTextWidth(self.viewport().width())
        self.setFixedHeight(round(self.document().size().height()) + theme.px(8))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep all lines in view."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.fit()
