"""The stock at scale with its elements, moved and sized by mouse and by keys."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from formulary.labels.design import Box, Design
from formulary.labels.design_edits import STEP_MM, on_grid
from ui import signs, theme

AROUND = 12
HANDLE = 10
SIGN = 14
LEAST_WIDTH, LEAST_HEIGHT = 320, 240
LARGEST_DOTS_PER_MM = 12.0
_STEPS = {
    Qt.Key.Key_Left: (-STEP_MM, 0.0),
    Qt.Key.Key_Right: (STEP_MM, 0.0),
    Qt.Key.Key_Up: (0.0, -STEP_MM),
    Qt.Key.Key_Down: (0.0, STEP_MM),
}


class DesignCanvas(QWidget):
    """Shows a layout. Arrows move the element come to, with Shift they size it.

    ``moved`` and ``sized`` tell the element's number, two measures in mm and whether a movement of
    the mouse goes on; ``chosen`` tells the element come to.
    """

    moved = Signal(int, float, float, bool)
    sized = Signal(int, float, float, bool)
    chosen = Signal(int)

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(theme.px(LEAST_WIDTH), theme.px(LEAST_HEIGHT))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.number = -1
        self._design: Design | None = None
        self.image = QImage()
        self._troubled: frozenset[str] = frozenset()
        self.lost: dict[str, str] = {}
        self._grip: QPointF | None = None
        self._sizing = self._goes_on = False

    def show_design(self, design: Design, number: int) -> None:
        """Show a layout with the element come to."""
        self._design, self.number = design, number
        self.update()

    def show_look(self, image: QImage, troubled: Sequence[str], lost: Mapping[str, str]) -> None:
        """Show the label behind the elements, and which of them something is wrong with.

        Those ``lost`` have no room for what they say: their names stand in their place.
        """
        self.image, self._troubled, self.lost = image, frozenset(troubled), dict(lost)
        self.update()

    def sizeHint(self) -> QSize:
        """Return a size at which a usual label can be read."""
        return QSize(theme.px(640), theme.px(380))

    @property
    def dots_per_mm(self) -> float:
        """How many of this widget's pixels a millimetre has."""
        if self._design is None:
            return 1.0
        stock, around = self._design.stock, 2 * theme.px(AROUND)
        across = (self.width() - around) / stock.width_mm
        down = (self.height() - around) / stock.height_mm
        return max(1.0, min(across, down, LARGEST_DOTS_PER_MM))

    def place_of(self, box: Box) -> QRectF:
        """Return where a box is drawn."""
        scale, face = self.dots_per_mm, self._face()
        return QRectF(
            face.left() + box.left * scale,
            face.top() + box.top * scale,
            box.width * scale,
            box.height * scale,
        )

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the white label, what is printed, and the elements' edges."""
        if self._design is None:
            return
        painter = QPainter(self)
        face = self._face()
        painter.fillRect(face, Qt.GlobalColor.white)
        if not self.image.isNull():
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.drawImage(face, self.image)
        painter.setPen(QPen(QColor(theme.colours().edge), 1))
        painter.drawRect(face)
        for number, box in enumerate(self._design.boxes):
            if number != self.number:
                self._paint_box(painter, box)
        for box in self._design.boxes:
            if box.thing.value in self.lost:
                self._paint_lost(painter, self.place_of(box), self.lost[box.thing.value])
        if 0 <= self.number < len(self._design.boxes):
            self._paint_chosen(painter, self._design.boxes[self.number])
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Come to the element under the mouse, and take hold of it or of its corner."""
        at = event.position()
        number = self._under(at)
        if self._design is None or number < 0:
            return
        self.chosen.emit(number)
        place = self.place_of(self._design.boxes[number])
        self._sizing = self._handle(place).contains(at)
        self._grip = at - (place.bottomRight() if self._sizing else place.topLeft())
        self._goes_on = False

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move or size what is held."""
        if self._grip is None or self._design is None or self.number < 0:
            return
        box, scale, face = self._design.boxes[self.number], self.dots_per_mm, self._face()
        there = (event.position() - self._grip - face.topLeft()) / scale
        across, down = on_grid(there.x()), on_grid(there.y())
        if self._sizing:
            self.sized.emit(self.number, across - box.left, down - box.top, self._goes_on)
        else:
            self.moved.emit(self.number, across, down, self._goes_on)
        self._goes_on = True

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        self._grip = None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move or size the element come to by a step."""
        step = _STEPS.get(Qt.Key(event.key()))
        if step is None or self._design is None or self.number < 0:
            super().keyPressEvent(event)
            return
        box, (right, down) = self._design.boxes[self.number], step
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            self.sized.emit(self.number, box.width + right, box.height + down, False)
        else:
            self.moved.emit(self.number, box.left + right, box.top + down, False)

    def focusNextPrevChild(self, forward: bool) -> bool:  # noqa: FBT001  Qt calls it so
        """Come to the next element by Tab; after the last one leave for the next field."""
        count = len(self._design.boxes) if self._design is not None else 0
        number = self.number + (1 if forward else -1)
        if not 0 <= number < count:
            return super().focusNextPrevChild(forward)
        self.chosen.emit(number)
        return True

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Begin with the end that Tab came from."""
        super().focusInEvent(event)
        count = len(self._design.boxes) if self._design is not None else 0
        if count and event.reason() is Qt.FocusReason.TabFocusReason:
            self.chosen.emit(0)
        elif count and event.reason() is Qt.FocusReason.BacktabFocusReason:
            self.chosen.emit(count - 1)
        self.update()

    def _face(self) -> QRectF:
        if self._design is None:
            return QRectF()
        stock, scale, around = self._design.stock, self.dots_per_mm, theme.px(AROUND)
        return QRectF(around, around, stock.width_mm * scale, stock.height_mm * scale)

    def _paint_box(self, painter: QPainter, box: Box) -> None:
        # The label is white in either theme, so its edges take the light one's inks.
        troubled = box.thing.value in {*self._troubled, *self.lost}
        ink = theme.LIGHT.stop if troubled else theme.LIGHT.edge
        style = Qt.PenStyle.SolidLine if troubled else Qt.PenStyle.DashLine
        painter.setPen(QPen(QColor(ink), 1, style))
        painter.drawRect(self.place_of(box))

    def _paint_lost(self, painter: QPainter, place: QRectF, name: str) -> None:
        """Paint the sign and the name of what has no room there."""
        side = min(place.height(), theme.px(SIGN))
        sign = QRectF(place.left(), place.center().y() - side / 2, side, side)
        signs.paint(painter, signs.Sign.OCTAGON, sign, theme.LIGHT.stop)
        painter.setPen(QColor(theme.LIGHT.stop))
        text = place.adjusted(side + theme.px(2), 0, 0, 0)
        painter.drawText(text, Qt.AlignmentFlag.AlignVCenter, name)

    def _paint_chosen(self, painter: QPainter, box: Box) -> None:
        painter.setPen(QPen(QColor(theme.LIGHT.accent), theme.px(2)))
        place = self.place_of(box)
        painter.drawRect(place)
        painter.fillRect(self._handle(place), QColor(theme.LIGHT.accent))

    def _handle(self, place: QRectF) -> QRectF:
        side = min(theme.px(HANDLE), place.height(), place.width())
        return QRectF(place.right() - side, place.bottom() - side, side, side)

    def _under(self, at: QPointF) -> int:
        """Return the number of the element there, that come to before others, -1 for none."""
        boxes = self._design.boxes if self._design is not None else ()
        found = [at_ for at_, box in enumerate(boxes) if self.place_of(box).contains(at)]
        return self.number if self.number in found else (found or [-1])[-1]
