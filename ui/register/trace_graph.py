"""A trace drawn in columns from suppliers to patients; arrow keys go from box to box."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtGui import QPainterPath as Path
from PySide6.QtWidgets import QWidget

from formulary.register.picture import Box, Picture
from formulary.tracing import RECIPIENTS, Sort
from ui import theme
from ui.calculations.pictures.picture import pen, size_for
from ui.context import Context

AREA = "ui_register.trace"
NARROWEST, WIDEST, TALL = 104, 240, 48
LEAST_ACROSS, ACROSS, BETWEEN, AROUND = 20, 36, 12, 12
_NUMBERED = (Sort.LOT, Sort.CONTAINER, Sort.PREPARATION, Sort.JAR)
Place = tuple[int, int]
_STEPS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}


class TraceGraph(QWidget):
    """Draws a picture. ``came_to`` tells where the box come to is, ``chosen`` which was chosen."""

    came_to = Signal(QRectF)
    chosen = Signal(object)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._picture = Picture((), ())
        self._names: Mapping[str, str] = {}
        self._titles: Mapping[str, str] = {}
        self._at: Place = (0, 0)
        self._room = 0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(context.text(f"{AREA}.graph"))

    def show_picture(self, picture: Picture, titles: Mapping[str, str]) -> None:
        """Show a trace, at what it began with; names of patients aren't known."""
        self._picture, self._titles, self._names = picture, titles, {}
        self._at = next((place for place, box in self._places() if box.begun), (0, 0))
        self.setFixedSize(self.sizeHint())
        self._come_to(self._at)

    def fit(self, room: int) -> None:
        """Make the boxes as wide as lets all columns stand in a room, in pixels, within reason."""
        if room != self._room:
            self._room = room
            self.setFixedSize(self.sizeHint())

    def show_names(self, names: Mapping[str, str]) -> None:
        """Show the patients' names, which somebody signed in asked for."""
        self._names = names
        self._come_to(self._at)

    def come_to_again(self) -> None:
        """Tell once more where the box come to is."""
        self._come_to(self._at)

    @property
    def begun_at(self) -> QRectF:
        """Where the box is that the trace began with."""
        return self._area(self._at) if self._picture.columns else QRectF()

    @property
    def current(self) -> Box | None:
        """The box come to."""
        column, row = self._at
        columns = self._picture.columns
        return columns[column][row] if columns else None

    def said(self, box: Box) -> tuple[str, str]:
        """Return what a box says in its two lines."""
        text = self._context.text
        node = box.nodes[0]
        sort = text(f"stock.trace.{box.sort.value}")
        if len(box.nodes) > 1:
            numbers = ", ".join(each.name.rpartition("/")[2] for each in box.nodes)
            return node.name.rpartition("/")[0], text(f"{AREA}.jar_numbers", numbers=numbers)
        if box.sort is Sort.PATIENT:
            return self._names.get(node.id) or text(f"{AREA}.a_patient"), sort
        title = self._titles.get(node.id, "")
        return node.name or node.id, text(f"{AREA}.titled", sort=sort, title=title or sort)

    def sizeHint(self) -> QSize:
        """Return the room that all boxes take."""
        columns = self._picture.columns
        deepest = max((len(each) for each in columns), default=1)
        box, across = self._widths()
        wide = 2 * AROUND + len(columns) * box + max(len(columns) - 1, 0) * across
        return QSize(theme.px(wide), theme.px(2 * AROUND + deepest * (TALL + BETWEEN)))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the lines first, then the boxes that are in view."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for source, target in self._picture.lines:
            self._paint_line(painter, source, target)
        seen = QRectF(event.rect())
        for place, box in self._places():
            if self._area(place).intersects(seen):
                self._paint_box(painter, place, box)
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go to the next box, or choose the one come to."""
        step = _STEPS.get(Qt.Key(event.key()))
        if step is not None:
            self._come_to(self._beside(*step))
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.current is not None:
            self.chosen.emit(self.current)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Come to the box that is pressed."""
        self.setFocus()
        for place, _ in self._places():
            if self._area(place).contains(event.position()):
                self._come_to(place)

    def changeEvent(self, event: QEvent) -> None:
        """Take the room that another type size asks for, at the same box."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self.setFixedSize(self.sizeHint())
            self._come_to(self._at)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show where the focus is."""
        super().focusInEvent(event)
        self._come_to(self._at)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Draw the box without the focus."""
        super().focusOutEvent(event)
        self.update()

    def _places(self) -> list[tuple[Place, Box]]:
        return [
            ((x, y), box)
            for x, column in enumerate(self._picture.columns)
            for y, box in enumerate(column)
        ]

    def _beside(self, across: int, down: int) -> Place:
        """Return the box next to the one come to: the same height in another column."""
        columns = self._picture.columns
        if not columns:
            return self._at
        column, row = self._at
        to = min(max(column + across, 0), len(columns) - 1)
        if across and to != column:
            middle = self._area(self._at).center().y()
            near = [abs(self._area((to, y)).center().y() - middle) for y in range(len(columns[to]))]
            return to, near.index(min(near))
        return column, min(max(row + down, 0), len(columns[column]) - 1)

    def _come_to(self, place: Place) -> None:
        self._at = place
        current = self.current
        if current is not None:
            self.setAccessibleDescription(" ".join(self.said(current)))
            self.came_to.emit(self._area(place))
        self.update()

    def _area(self, place: Place) -> QRectF:
        column, row = place
        deepest = max(len(each) for each in self._picture.columns)
        spare = (deepest - len(self._picture.columns[column])) * (TALL + BETWEEN) / 2
        box, across = self._widths()
        left = AROUND + column * (box + across)
        top = AROUND + spare + row * (TALL + BETWEEN)
        return QRectF(*(theme.px(1) * each for each in (left, top, box, TALL)))

    def _widths(self) -> tuple[int, int]:
        """Return how wide a box is, and the room between two columns."""
        count = max(len(self._picture.columns), 1)
        room = self._room // theme.px(1) - 2 * AROUND
        for across in (ACROSS, LEAST_ACROSS):
            box = (room - (count - 1) * across) // count
            if box >= WIDEST * 2 // 3:
                break
        return min(max(box, NARROWEST), WIDEST), across

    def _paint_line(self, painter: QPainter, source: Place, target: Place) -> None:
        lit = self._at in (source, target)
        colours = theme.colours()
        painter.setPen(pen(colours.accent if lit else colours.edge, 2 if lit else 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        first, last = self._area(source), self._area(target)
        begin, end = (
            QPointF(first.right(), first.center().y()),
            QPointF(last.x(), last.center().y()),
        )
        bend = (end.x() - begin.x()) / 2
        path = Path(begin)
        path.cubicTo(begin + QPointF(bend, 0), end - QPointF(bend, 0), end)
        painter.drawPath(path)

    def _paint_box(self, painter: QPainter, place: Place, box: Box) -> None:
        colours, area = theme.colours(), self._area(place)
        here = place == self._at and self.hasFocus()
        edge = colours.accent if here or box.begun else colours.edge
        painter.setPen(pen(edge, 3 if here else 2 if box.begun else 1))
        painter.setBrush(QColor(colours.panel if box.sort in RECIPIENTS else colours.paper))
        painter.drawRoundedRect(area, theme.px(3), theme.px(3))
        name, below = self.said(box)
        inside = area.adjusted(theme.px(6), theme.px(4), -theme.px(6), -theme.px(4))
        if box.sort is Sort.SUPPLIER:
            # A firm's name is long, and a first column says itself what it is.
            size_for(painter, theme.Size.NOTE, colours.ink, bold=True)
            flags = Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap
            if inside.contains(painter.boundingRect(inside, flags, name)):
                painter.drawText(inside, flags, name)
                return
        half = inside.height() / 2
        for said, top, size, ink in (
            (name, inside.y(), theme.Size.TEXT, colours.ink),
            (below, inside.y() + half, theme.Size.NOTE, colours.quiet),
        ):
            bold = size is theme.Size.TEXT
            size_for(painter, size, ink, bold=bold)
            line = QRectF(inside.x(), top, inside.width(), half)
            width = round(line.width())
            if bold and painter.fontMetrics().horizontalAdvance(said) > width:
                size_for(painter, theme.Size.NOTE, ink, bold=False)
            # Of a number the end counts most.
            numbered = bold and box.sort in _NUMBERED
            mode = Qt.TextElideMode.ElideLeft if numbered else Qt.TextElideMode.ElideRight
            elided = painter.fontMetrics().elidedText(said, mode, width)
            across = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
            painter.drawText(line, across, elided)
