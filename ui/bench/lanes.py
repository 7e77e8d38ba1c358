"""The method as lanes that run side by side: done, open now, and still to come."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from formulary.bench.method import Lane
from formulary.bench.state import State
from ui.context import Context
from ui.widgets.words import label, spaced

LONGEST = 60


class Lanes(QWidget):
    """Shows where the method is."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._grid = QGridLayout(self)
        spaced(self._grid, inside=8)
        self._told: object = None
        self.has_any = False

    def show_state(self, state: State | None) -> None:
        """Show the method of a preparation, nothing where it has none."""
        lanes = state.job.method.lanes if state is not None else ()
        self.has_any = bool(lanes)
        if state is None or self._told == (state.job, state.steps, state.open_steps):
            return
        self._told = (state.job, state.steps, state.open_steps)
        self._clear()
        columns = [each for each in lanes if each.code]
        for column, lane in enumerate(columns):
            self._show_lane(state, lane, column, 1)
        for lane in lanes:
            if not lane.code:
                self._show_lane(state, lane, 0, max(1, len(columns)))

    def said(self) -> list[str]:
        """Return what is shown of each step."""
        return [each.text() for each in self.findChildren(QLabel) if each.text()]

    def _show_lane(self, state: State, lane: Lane, column: int, span: int) -> None:
        row = 0 if lane.code else self._grid.rowCount()
        self._grid.setColumnStretch(column, 1)
        lines = list(self._lines(state, lane))
        for place, (text, role) in enumerate(lines):
            made = label(text, role)
            top = Qt.AlignmentFlag.AlignTop
            self._grid.addWidget(made, row + place, column, 1, span, top)

    def _lines(self, state: State, lane: Lane) -> Iterator[tuple[str, str]]:
        if lane.code:
            yield (f"{lane.code}: {lane.name}" if lane.name else lane.code), "quiet"
        for step in lane.steps:
            yield self._step(state, step)

    def _step(self, state: State, step: int) -> tuple[str, str]:
        """Return one line of a step, and the ink of its standing."""
        progress = state.progress(step)
        words = _short(state.job.method.steps[step].step.text)
        if progress is not None and progress.done_at is not None:
            time = f"{progress.done_at:%H:%M}"
            return self._text("done", number=step + 1, step=words, time=time), "inside"
        key = "now" if step in state.open_steps else "coming"
        return self._text(key, number=step + 1, step=words), "accent" if key == "now" else "note"

    def _text(self, key: str, *, number: int, step: str, time: str = "") -> str:
        return self._context.text(f"ui_bench.lane.{key}", number=number, step=step, time=time)

    def _clear(self) -> None:
        while self._grid.count():
            item = self._grid.takeAt(0)
            gone = item.widget() if item is not None else None
            if gone is not None:
                gone.setParent(None)
                gone.deleteLater()


def _short(text: str) -> str:
    """Return a step's first sentence, shortened at a word where it is long."""
    first = text.partition(". ")[0].rstrip(".")
    if len(first) <= LONGEST:
        return first
    return f"{first[:LONGEST].rsplit(' ', 1)[0]} …"
