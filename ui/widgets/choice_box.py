"""A list to choose from that changes only while it is open, or by its letters."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QPointF, Qt, QTimer, Signal
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QWheelEvent,
)
from PySide6.QtWidgets import QApplication, QComboBox, QStyleOptionComboBox, QStylePainter

from ui import theme

_OPENING = (Qt.Key.Key_Up, Qt.Key.Key_Down)
_HELD = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
_SCROLLING = (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown, Qt.Key.Key_Home, Qt.Key.Key_End)


class ChoiceBox(QComboBox):
    """A combo box: arrows open it; ``closed`` tells that its list was put away.

    Whoever scrolls to read a result must not change what it was worked out for.
    """

    closed = Signal()

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizeAdjustPolicy(self.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(8)
        self._typing = QTimer(self, singleShot=True)

    def fill(self, choices: Sequence[tuple[str, object]]) -> None:
        """Offer texts, each with what it stands for; what was chosen stays chosen."""
        before = self.currentData()
        self.blockSignals(True)
        self.clear()
        for text, value in choices:
            self.addItem(text, value)
        self.blockSignals(False)
        self.choose(before)

    def choose(self, value: object) -> None:
        """Choose what stands for a value, the first where none does; nobody is told."""
        values = [self.itemData(position) for position in range(self.count())]
        self.blockSignals(True)
        self.setCurrentIndex(values.index(value) if value in values else min(0, self.count() - 1))
        self.blockSignals(False)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the box, what is cut with its sign, then the sign that it opens downwards."""
        self._paint_box()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(theme.colours().ink), theme.px(1.5)))
        side, middle = theme.px(4), self.height() / 2
        right = self.width() - theme.px(14)
        points = [QPointF(right + step * side, middle + drop) for step, drop in _chevron(side)]
        painter.drawPolyline(QPolygonF(points))

    def _paint_box(self) -> None:
        option, style = QStyleOptionComboBox(), self.style()
        self.initStyleOption(option)
        field = style.subControlRect(
            style.ComplexControl.CC_ComboBox,
            option,
            style.SubControl.SC_ComboBoxEditField,
            self,
        )
        # Without the sign "10 mL" may end as "10 m".
        whole, mode = self.currentText(), Qt.TextElideMode.ElideRight
        shown = self.fontMetrics().elidedText(whole, mode, field.width())
        option.currentText = shown
        self.setToolTip(whole if shown != whole else "")
        painter = QStylePainter(self)
        painter.drawComplexControl(style.ComplexControl.CC_ComboBox, option)
        painter.drawControl(style.ControlElement.CE_ComboBoxLabel, option)

    def showPopup(self) -> None:
        """Open the list as wide as its longest line."""
        view = self.view()
        view.setMinimumWidth(view.sizeHintForColumn(0) + theme.px(24))
        super().showPopup()

    def event(self, event: QEvent) -> bool:
        """Keep letters and figures, by which it is chosen, from the page's own keys."""
        if isinstance(event, QKeyEvent) and _chooses(event):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open for an arrow; leave the keys that scroll to the page."""
        if event.key() == Qt.Key.Key_Space and self._typing.isActive():
            # A space opens the list; amid a name that is typed it belongs to the name.
            event = QKeyEvent(event.type(), Qt.Key.Key_unknown, event.modifiers(), event.text())
        if event.text().isprintable() and event.text():
            self._typing.start(QApplication.keyboardInputInterval())
        if event.key() in _SCROLLING:
            event.ignore()
        elif event.key() in _OPENING and not event.modifiers() & _HELD:
            self.showPopup()
        else:
            super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to the page."""
        event.ignore()

    def hidePopup(self) -> None:
        """Put the list away, and say so."""
        was_open = self.view().isVisible()
        super().hidePopup()
        if was_open:
            self.closed.emit()


def _chooses(event: QKeyEvent) -> bool:
    """Tell whether a key that the page may take would choose here by its letter."""
    asked = event.type() == QEvent.Type.ShortcutOverride
    return asked and event.text().isalnum() and not event.modifiers() & _HELD


def _chevron(side: int) -> tuple[tuple[int, float], ...]:
    return ((-1, -side / 2), (0, side / 2), (1, -side / 2))
