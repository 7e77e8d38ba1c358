"""The leaf: the formula to read, never wider than about 75 characters."""

from __future__ import annotations

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QFontMetrics, QResizeEvent, QTextOption
from PySide6.QtWidgets import QTextBrowser, QTextEdit

from ui import theme
from ui.context import Context, PageName
from ui.forms.kept_calculations import meant_by
from ui.formulas.difference_html import Compared, difference_html
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
        self.anchorClicked.connect(self._open)
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

    def show_difference(self, compared: Compared) -> None:
        """Show what changed between two versions in place of the formula."""
        self.setHtml(difference_html(self._context.catalogue, compared))

    def say(self, text: str) -> None:
        """Show a sentence instead of a formula."""
        self._shown = None
        self.document().setDefaultFont(theme.font(theme.Size.TEXT))
        self.setPlainText(text)

    def _open(self, link: QUrl) -> None:
        kept = meant_by(link.toString(), self._shown.kept if self._shown is not None else ())
        if kept is not None:
            self._context.go(PageName.CALCULATIONS, kept)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the measure; what is left over is white."""
        super().resizeEvent(event)
        measure = QFontMetrics(theme.font(theme.Size.TEXT)).averageCharWidth() * MEASURE
        self.setLineWrapColumnOrWidth(min(measure, self.viewport().width()))
