"""A trace on one page: drawn as a graph, whom to call, and its report as a PDF."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QLineEdit,
    QScrollArea,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from formulary.desk import Desk
from formulary.errors import NotFound
from formulary.messages import Message, message
from formulary.register.picture import Box, Picture, picture
from formulary.tracing import Sort
from formulary.verbs.read_trace import TraceSeen, read_trace, whom_to_call
from formulary.verbs.recall_lot import ToCall
from ui import theme
from ui.context import Context, PageName
from ui.files import PDF, ask_to_save, writing_to
from ui.forms.leaf import leaf
from ui.register.trace_graph import TraceGraph
from ui.stock.fitted_tree import FittedTree
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_register.trace"
_COLUMNS = ("who", "jars")
LIST_HEIGHT, GRAPH_HEIGHT, MOST_GRAPH = 140, 240, 480


@dataclass(frozen=True, slots=True)
class Drawn:
    """A trace with its layout, both made on the worker."""

    seen: TraceSeen
    picture: Picture


class TraceView(QWidget):
    """Asks what to trace and shows it. ``opened`` tells the lot of a preparation to open."""

    left = Signal()
    opened = Signal(str)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._seen: TraceSeen | None = None
        self._names: Mapping[str, ToCall] = {}
        text = context.text
        self.what = QLineEdit()
        self.what.setAccessibleName(text(f"{AREA}.what"))
        self.what.setPlaceholderText(text(f"{AREA}.what_hint"))
        self.what.setMaximumWidth(theme.px(480))
        self.summary = label(role="quiet")
        self.graph = TraceGraph(context)
        self.area = QScrollArea()
        self.area.setWidget(self.graph)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setAccessibleName(text(f"{AREA}.graph"))
        self.area.setMinimumHeight(theme.px(GRAPH_HEIGHT))
        self.here = label()
        self.calls = FittedTree(
            text(f"{AREA}.calls"), [text(f"{AREA}.{each}") for each in _COLUMNS], (1,)
        )
        self.calls.setRootIsDecorated(False)
        self.calls.setFixedHeight(theme.px(LIST_HEIGHT))
        self.heading = label(text(f"{AREA}.calls"), "heading")
        self.nobody = label(text(f"{AREA}.nobody"), "quiet")
        self.who = action(self, text(f"{AREA}.names"), "Ctrl+E", self._ask_names)
        self.save = action(self, text(f"{AREA}.save"), "Ctrl+S", self._save)
        self.back = action(self, text("ui_register.back"), "Esc", self.left.emit)
        self._lay_out()
        self.what.returnPressed.connect(lambda: self.trace(self.what.text()))
        self.graph.came_to.connect(self._into_view)
        self.graph.chosen.connect(self._chosen)
        self._empty()

    def trace(self, typed: str, otherwise: str = "") -> None:
        """Trace what is typed, the other lot where that is no number of anything, or ask for it."""
        wanted = tuple(filter(None, (typed.strip(), otherwise)))
        self.what.setText(next(iter(wanted), ""))
        if not wanted:
            self._empty()
            self.what.setFocus()
            return
        self._context.do(lambda desk: _drawn(desk, wanted), self._arrived, lane="register.trace")

    def _lay_out(self) -> None:
        row = FlowLayout()
        self.names_button = button(self.who, accent=True)
        row.addWidget(self.names_button)
        for made in (self.save, self.back):
            row.addWidget(button(made))
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside))
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        for part in (self.what, self.summary):
            box.addWidget(part)
        box.addWidget(self.area, 1)
        box.addWidget(self.here)
        for below in (self.heading, self.nobody, self.calls):
            box.addWidget(below)
        box.addLayout(row)

    def _empty(self) -> None:
        self._seen, self._names = None, {}
        self.summary.setText(self._context.text(f"{AREA}.ask"))
        self.graph.show_picture(Picture((), ()), {})
        for part in (self.heading, self.nobody, self.calls):
            part.hide()
        self.who.setEnabled(False)
        self.save.setEnabled(False)

    def _arrived(self, drawn: Drawn) -> None:
        self._seen, self._names = drawn.seen, {}
        self.what.setText(drawn.seen.typed)
        found = drawn.seen.forward
        self.summary.setText(
            self._context.text(
                f"{AREA}.summary",
                made=_counted("made", len(found.preparations)),
                jars=_counted("jars", len(found.jars)),
                here=len(found.not_handed_over),
                calls=_counted("calls", len(found.to_call)),
            )
        )
        self.graph.fit(self._room())
        self.graph.show_picture(drawn.picture, drawn.seen.titles)
        # Rows are shown whole as far as the page has room; it scrolls below them.
        whole = min(self.graph.height(), theme.px(MOST_GRAPH))
        self.area.setMinimumHeight(max(whole, theme.px(GRAPH_HEIGHT)))
        self.save.setEnabled(True)
        self.who.setEnabled(bool(found.of(Sort.PATIENT)))
        self._show_calls()
        self.graph.setFocus(Qt.FocusReason.OtherFocusReason)
        # Only once it is laid out there is a middle to begin in.
        QTimer.singleShot(0, self, self._begin_in_the_middle)

    def _begin_in_the_middle(self) -> None:
        """Show what the trace began with in the middle, so that both ways from it are in view."""
        at, half = self.graph.begun_at.center().toPoint(), self.area.viewport().size() / 2
        self.area.ensureVisible(at.x(), at.y(), half.width(), half.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the box come to in view."""
        super().resizeEvent(event)
        self.graph.fit(self._room())
        self.graph.come_to_again()

    def _room(self) -> int:
        """Return the width for the graph, whether or not it scrolls downwards."""
        return self.area.width() - self.area.verticalScrollBar().sizeHint().width()

    def _show_calls(self) -> None:
        if self._seen is None:
            return
        self.calls.clear()
        deliveries = self._seen.forward.to_call
        for each in deliveries:
            node = each.recipient
            ward = node.name or node.id
            who = ward if node.sort is Sort.WARD else self._patient(node.id)
            jars = ", ".join(jar.name for jar in each.jars)
            QTreeWidgetItem(self.calls, [who, jars])
        self.heading.show()
        self.calls.setVisible(bool(deliveries))
        self.nobody.setVisible(not deliveries)
        self.calls.fit()

    def _patient(self, patient_id: str) -> str:
        """Return a patient with the telephone, where that was asked for."""
        text, known = self._context.text, self._names.get(patient_id)
        if known is None:
            return text(f"{AREA}.a_patient")
        if not known.telephone:
            return known.name
        return text(f"{AREA}.reached_at", name=known.name, telephone=known.telephone)

    def _ask_names(self) -> None:
        seen = self._seen
        if seen is not None:
            self._context.do(lambda desk: whom_to_call(desk, seen), self._named)

    def _named(self, names: Mapping[str, ToCall]) -> None:
        self._names = names
        self._show_calls()
        self.graph.show_names({each: known.name for each, known in names.items()})

    def _into_view(self, area: QRectF) -> None:
        current = self.graph.current
        self.here.setText(": ".join(self.graph.said(current)) if current is not None else "")
        centre = area.center().toPoint()
        half = area.size().toSize() / 2
        self.area.ensureVisible(centre.x(), centre.y(), half.width() + 16, half.height() + 16)

    def _chosen(self, box: Box) -> None:
        node = box.nodes[0]
        if box.sort is Sort.PREPARATION:
            self.opened.emit(node.name)
        elif box.sort is Sort.JAR:
            self.opened.emit(node.name.rpartition("/")[0])
        elif box.sort in (Sort.LOT, Sort.CONTAINER):
            self._context.go(PageName.STOCK, node.name if box.sort is Sort.CONTAINER else node.id)

    def _save(self) -> None:
        seen = self._seen
        if seen is None:
            return
        proposed = self._context.text(f"{AREA}.file", what=seen.typed.replace("/", "-"))
        names = dict(self._names)

        def write(path: Path) -> None:
            self._context.do(
                lambda desk: _write(desk, seen, names, path),
                lambda _: self._context.say.tell(f"{AREA}.saved", name=str(path)),
            )

        ask_to_save(self, self.save.text(), f"{proposed}.pdf", write, PDF)


def _counted(what: str, n: int) -> Message:
    return message(f"{AREA}.counted_{what}", n=n)


def _drawn(desk: Desk, wanted: Sequence[str]) -> Drawn:
    """Return the trace of the first that there is. Raises NotFound for the last."""
    typed, *others = wanted
    try:
        seen = read_trace(desk, typed)
    except NotFound:
        if not others:
            raise
        return _drawn(desk, others)
    return Drawn(seen, picture(seen.forward, seen.backward))


def _write(desk: Desk, seen: TraceSeen, names: Mapping[str, ToCall], path: Path) -> None:
    from formulary.labels.drawing import draw
    from formulary.papers.printed import made_here, printed_now
    from formulary.papers.trace_report import TraceSubject, trace_report

    pages = trace_report(TraceSubject(desk.house, seen, names, printed_now(desk)))
    with writing_to(path):
        draw(pages, path, title=seen.typed, origin=made_here(desk))
