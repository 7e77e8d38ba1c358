"""The leaf: the formula to read, never wider than about 75 characters."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, Qt, QUrl, Signal
from PySide6.QtGui import QFontMetrics, QResizeEvent, QTextOption
from PySide6.QtWidgets import QTextBrowser, QTextEdit

from ui import theme
from ui.context import Context, PageName
from ui.forms.kept_calculations import meant_by
from ui.formulas.difference_html import Compared, difference_html
from ui.formulas.leaf_html import KEEP_FILE, LeafWriter, style
from ui.formulas.reading import Shown

MEASURE = 75
"""The widest line, in characters of average width."""


class Leaf(QTextBrowser):
    """Shows one formula; empty places say what belongs there.

    ``file_wanted`` tells that a file is to be kept with it.
    """

    file_wanted = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("paper")
        self._context = context
        self._shown: Shown | None = None
        self._written = self._nothing
        self.setAccessibleName(context.text("ui_formulas.leaf.name"))
        self.setOpenLinks(False)
        self.anchorClicked.connect(self._open)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWordWrapMode(QTextOption.WrapMode.WordWrap)
        self.setFrameShape(self.Shape.NoFrame)
        self.setLineWrapMode(QTextEdit.LineWrapMode.FixedPixelWidth)
        self.setViewportMargins(theme.px(24), theme.px(8), theme.px(16), theme.px(8))

    def show_formula(self, shown: Shown | None) -> None:
        """Show a formula, or that none is chosen."""
        self._shown = shown
        if shown is None:
            self._write(self._nothing)
        else:
            self._write(lambda: self.setHtml(LeafWriter(self._context.catalogue).html(shown)))

    def show_difference(self, compared: Compared) -> None:
        """Show what changed between two versions in place of the formula."""
        self._write(lambda: self.setHtml(difference_html(self._context.catalogue, compared)))

    def say(self, text: str) -> None:
        """Show a sentence instead of a formula."""
        self._shown = None
        self._write(lambda: self.setPlainText(text))

    def changeEvent(self, event: QEvent) -> None:
        """Write it anew in other colours or another size."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            place = self.verticalScrollBar().value()
            self._write(self._written)
            self.verticalScrollBar().setValue(place)

    def _write(self, write: Callable[[], None]) -> None:
        """Write in the palette and at the size of the moment, and hold how."""
        self._written = write
        document = self.document()
        document.setDefaultFont(theme.font(theme.Size.TEXT))
        document.setDefaultStyleSheet(style())
        write()

    def _nothing(self) -> None:
        self.setPlainText("")

    def _open(self, link: QUrl) -> None:
        if link.toString() == KEEP_FILE:
            self.file_wanted.emit()
            return
        kept = meant_by(link.toString(), self._shown.kept if self._shown is not None else ())
        if kept is not None:
            self._context.go(PageName.CALCULATIONS, kept)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the measure; what is left over is white."""
        super().resizeEvent(event)
        measure = QFontMetrics(theme.font(theme.Size.TEXT)).averageCharWidth() * MEASURE
        self.setLineWrapColumnOrWidth(min(measure, self.viewport().width()))
