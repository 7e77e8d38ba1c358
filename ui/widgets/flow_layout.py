"""A row of parts that goes on in the next line where the width ends."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget

from ui import theme


class FlowLayout(QLayout):
    """Lays parts out like words, so that no row of buttons is ever clipped."""

    def __init__(self, parent: QWidget | None = None, gap: int = 8) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self.setSpacing(theme.px(gap))
        self.setContentsMargins(0, 0, 0, 0)

    def addItem(self, item: QLayoutItem) -> None:
        """Add a part at the end."""
        self._items.append(item)

    def count(self) -> int:
        """Return how many parts there are."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """Return a part, None past the end."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Take a part out and return it, None past the end."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        """Want no more room than the parts have."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        """Tell Qt that the height hangs on the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height of all lines at this width."""
        return self._placed(QRect(0, 0, width, 0), move=False)

    def setGeometry(self, rect: QRect) -> None:
        """Put each part in its place."""
        super().setGeometry(rect)
        self._placed(rect, move=True)

    def sizeHint(self) -> QSize:
        """Return the least size: one part wide."""
        return self.minimumSize()

    def minimumSize(self) -> QSize:
        """Return the size of the largest part."""
        least = QSize()
        for item in self._items:
            if not item.isEmpty():
                least = least.expandedTo(item.minimumSize())
        return least

    def _placed(self, rect: QRect, *, move: bool) -> int:
        right, down, tall = rect.x(), rect.y(), 0
        for item in self._items:
            if item.isEmpty():
                continue
            size = item.sizeHint()
            if right > rect.x() and right + size.width() > rect.right() + 1:
                right, down, tall = rect.x(), down + tall + self.spacing(), 0
            if move:
                item.setGeometry(QRect(QPoint(right, down), size))
            right += size.width() + self.spacing()
            tall = max(tall, size.height())
        return down + tall - rect.y()
