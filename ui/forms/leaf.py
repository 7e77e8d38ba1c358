"""Room on the page: what scrolls downwards only, and an index beside it that leaves it enough."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QApplication, QFrame, QScrollArea, QWidget

from ui import theme

LARGEST_SHARE = 0.36
"""An index takes at most so much of the page's width."""
AROUND = 24


class Leaf(QScrollArea):
    """A part of the page that scrolls downwards; what has the focus is always in view."""

    def __init__(self, inside: QWidget) -> None:
        super().__init__()
        self.setWidget(inside)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        inside.setAutoFillBackground(False)
        self.viewport().setAutoFillBackground(False)
        # Only once all is laid out anew does it have its place.
        self._settled = QTimer(self, singleShot=True, interval=0)
        self._settled.timeout.connect(self._show_focus)
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._focus_went)

    def to_top(self) -> None:
        """Begin at the top again, whatever has the focus."""
        self._settled.stop()
        self.verticalScrollBar().setValue(0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep what has the focus in view."""
        super().resizeEvent(event)
        self._settled.start()

    def _focus_went(self, _before: QWidget | None, now: QWidget | None) -> None:
        pressed = QApplication.mouseButtons() != Qt.MouseButton.NoButton
        # What is clicked is in view, and stays under the pointer.
        if now is not None and not pressed and self.isAncestorOf(now):
            self._settled.start()

    def _show_focus(self) -> None:
        focus, inside = QApplication.focusWidget(), self.widget()
        if focus is None or inside is None or not inside.isAncestorOf(focus):
            return
        place = QRect(focus.mapTo(inside, focus.rect().topLeft()), focus.size())
        bar, height = self.verticalScrollBar(), self.viewport().height()
        around = theme.px(AROUND)
        lowest = place.bottom() + around - height
        # Of what is higher than the view the top counts.
        bar.setValue(min(max(bar.value(), lowest), max(place.top() - around, 0)))


def leaf(inside: QWidget) -> Leaf:
    """Return a part of the page that scrolls downwards where its content is long."""
    return Leaf(inside)


def fit_index(index: QWidget, page_width: int, wanted: int) -> None:
    """Give an index its width, less where the page is narrow for its type."""
    index.setFixedWidth(min(theme.px(wanted), round(page_width * LARGEST_SHARE)))
