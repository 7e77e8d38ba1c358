"""The list of the index: title, its mark and code, and below how it is kept."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPen
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem

from ui import theme
from ui.formulas.index_model import Role

_PAD = 8
_Placed = tuple[str, QFont, str, QRect]
_WRAP = Qt.TextFlag.TextWordWrap


class IndexView(QListView):
    """A list whose rows wrap rather than scroll sideways."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setItemDelegate(IndexDelegate(self))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(self.ScrollMode.ScrollPerPixel)
        self.setResizeMode(self.ResizeMode.Adjust)
        # Only so does another width, as when the scroll bar comes, measure the rows anew.
        self.setWordWrap(True)
        self.setTabKeyNavigation(False)


class IndexDelegate(QStyledItemDelegate):
    """Paints a row; the chosen one carries a bar in the accent's colour."""

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Paint title, mark and keeping."""
        colours = theme.colours()
        painter.save()
        rect = option.rect
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(rect, QColor(colours.paper))
            painter.fillRect(QRect(rect.x(), rect.y(), theme.px(4), rect.height()), colours.accent)
        for text, font, colour, box in self._parts(rect, index):
            painter.setFont(font)
            painter.setPen(QColor(colour))
            painter.drawText(box, _WRAP, text)
        painter.setPen(QPen(QColor(colours.hairline)))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        painter.restore()

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return the height that the wrapped texts take."""
        width = self._width(option)
        parts = self._parts(QRect(0, 0, width, 0), index)
        return QSize(width, parts[-1][3].bottom() + theme.px(_PAD))

    def _width(self, option: QStyleOptionViewItem) -> int:
        view = option.widget
        return view.viewport().width() if isinstance(view, QListView) else theme.px(280)

    def _parts(self, rect: QRect, index: QModelIndex | QPersistentModelIndex) -> list[_Placed]:
        colours = theme.colours()
        keeping, mark = index.data(Role.KEEPING), index.data(Role.MARK)
        texts = [(index.data(), theme.font(theme.Size.TEXT), colours.ink)]
        if mark:
            texts.append((mark, theme.font(theme.Size.NOTE), colours.thought))
        if keeping:
            texts.append((keeping, theme.font(theme.Size.NOTE), colours.quiet))
        return _stacked(rect, texts)


def _stacked(rect: QRect, texts: list[tuple[str, QFont, str]]) -> list[_Placed]:
    pad = theme.px(_PAD)
    down = rect.y() + pad
    width = rect.width() - 2 * pad - theme.px(4)
    placed = []
    for text, font, colour in texts:
        metrics = QFontMetrics(font)
        tall = metrics.boundingRect(0, 0, width, 10_000, _WRAP, text).height()
        box = QRect(rect.x() + pad + theme.px(4), down, width, tall)
        placed.append((text, font, colour, box))
        down += tall + theme.px(2)
    return placed
