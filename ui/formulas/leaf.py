"""The leaf: the formula to read, never wider than about 75 characters."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics, QResizeEvent, QTextOption
from PySide6.QtWidgets import QTextBrowser, QTextEdit

from ui import theme
from ui.context import Context
from ui.formulas.leaf_html import LeafWriter, style
from ui.formulas.reading import Shown

MEASURE = 75
"""The widest line, in characters of average width."""


class Leaf(QTextBrowser):
    """Shows one formula; empty places say what belongs there."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("paper")
        self._context = context
        self._shown: Shown | None = None
        self.setAccessibleName(context.text("ui_formulas.leaf.name"))
        self.setOpenLinks(False)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWordWrapMode(QTextOption.WrapMode.WordWrap)
        self.setFrameShape(self.Shape.NoFrame)
        self.setLineWrapMode(QTextEdit.LineWrapMode.FixedPixelWidth)
        self.setViewportMargins(theme.px(24), theme.px(8), theme.px(16), theme.px(8))

    def show_formula(self, shown: Shown | None) -> None:
        """Show a formula, or that none is chosen."""
        self._shown = shown
        document = self.document()
        document.setDefaultFont(theme.font(theme.Size.TEXT))
        document.setDefaultStyleSheet(style())
        if shown is None:
            self.setPlainText("")
            return
        self.setHtml(LeafWriter(self._context.catalogue).html(shown))

    def say(self, text: str) -> None:
        """Show a sentence instead of a formula."""
        self._shown = None
        self.document().setDefaultFont(theme.font(theme.Size.TEXT))
        self.setPlainText(text)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the measure; what is left over is white."""
        super().resizeEvent(event)
        measure = QFontMetrics(theme.font(theme.Size.TEXT)).averageCharWidth() * MEASURE
        self.setLineWrapColumnOrWidth(min(measure, self.viewport().width()))
