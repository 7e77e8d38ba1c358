"""The timers that run at this workstation, above every page; locking doesn't stop them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from formulary.bench.stages import BEFORE_RELEASE, Stage
from formulary.bench.state import State
from formulary.bench.timers import Timer
from formulary.desk import Desk
from formulary.messages import message
from ui import signs, theme
from ui.context import Context, Topic
from ui.signs import Sign
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import label, set_role, spaced

TICK_MS = 1000
SECONDS = timedelta(seconds=1)


@dataclass(frozen=True, slots=True)
class Running:
    """A timer and the lot that it belongs to."""

    lot: str
    timer: Timer


class TimerStrip(QWidget):
    """Shows what is left of each timer; nothing is counted but the moment it was started."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("header")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._context = context
        self._running: tuple[Running, ...] = ()
        self._lines: list[tuple[QLabel, QLabel]] = []
        box = QVBoxLayout(self)
        spaced(box, around=8)
        self._row = FlowLayout(gap=24)
        box.addLayout(self._row)
        self._tick = QTimer(self, interval=TICK_MS)
        self._tick.timeout.connect(self._count)
        self.hide()
        context.opened.connect(self._ask)
        context.changed.connect(self._changed)
        if context.is_open:
            self._ask()

    def said(self) -> list[str]:
        """Return what is shown of each timer."""
        return [words.text() for _, words in self._lines]

    def _changed(self, topic: str) -> None:
        if topic == Topic.PREPARATIONS.value:
            self._ask()

    def _ask(self) -> None:
        self._context.do(_running_here, self._arrived, lane="bench.timers")

    def _arrived(self, found: tuple[Running, ...]) -> None:
        self._running = found
        while self._row.count():
            item = self._row.takeAt(0)
            gone = item.widget() if item is not None else None
            if gone is not None:
                gone.hide()
                gone.deleteLater()
        self._lines = []
        for _ in found:
            line = QWidget()
            row = QHBoxLayout(line)
            spaced(row, inside=8)
            sign, words = QLabel(), label(wrap=False)
            row.addWidget(sign)
            row.addWidget(words)
            self._lines.append((sign, words))
            self._row.addWidget(line)
        self._count()
        self.setVisible(bool(found))
        if found:
            self._tick.start()
        else:
            self._tick.stop()

    def _count(self) -> None:
        """Show how much is left now."""
        if not self._context.is_open:
            return
        now = self._context.desk.clock.now()
        for each, (sign, words) in zip(self._running, self._lines, strict=True):
            self._show(each, sign, words, now)
        self._row.invalidate()

    def _show(self, each: Running, sign: QLabel, words: QLabel, now: datetime) -> None:
        is_up = each.timer.is_up(now)
        was_up = words.property("role") == "thought"
        words.setText(self._said(each, now))
        set_role(words, "thought" if is_up else "")
        drawn = Sign.TRIANGLE if is_up else Sign.DOT
        sign.setPixmap(signs.pixmap(drawn, theme.px(16) * 2))
        if is_up and not was_up:
            self._context.changed.emit(TIME_IS_UP)

    def _said(self, running: Running, now: datetime) -> str:
        timer = running.timer
        left = timer.remaining(now)
        key = "up" if timer.is_up(now) else "running"
        said = message(
            f"ui_bench.timers.{key}",
            name=timer.name,
            left=clock_of(left),
            over=clock_of(-left),
            lot=running.lot,
        )
        return self._context.said(said)


WITH_TIMERS = BEFORE_RELEASE[BEFORE_RELEASE.index(Stage.BENCH_CLEARED) :]
TIME_IS_UP = "time is up"
"""Told like a change, so that the bench says what can be done now."""


def clock_of(left: timedelta) -> str:
    """Return a span as it stands on a clock: 4:05, or 1:04:05."""
    seconds = max(0, -(-left // SECONDS))
    minutes, rest = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


def _running_here(desk: Desk) -> tuple[Running, ...]:
    """Return the timers of what was begun at this workstation and isn't released yet.

    One that runs goes on being shown after packing, until its time is up or somebody stops it.
    """
    from formulary.preparation import Preparation
    from formulary.verbs.work_at_bench import at_bench

    here: Sequence[Preparation] = [
        each
        for stage in WITH_TIMERS
        for each in desk.store.having(Preparation, stage=stage.value, workstation=desk.workstation)
    ]
    now = desk.clock.now()
    states = {each.lot: at_bench(desk.store, each.lot).state for each in here}
    return tuple(
        Running(lot, timer)
        for lot, state in states.items()
        for timer in state.open_timers
        if not _has_served(state, timer, now)
    )


def _has_served(state: State, timer: Timer, now: datetime) -> bool:
    """Whether its time is up and nobody waits for it: its step is done, or all is packed."""
    over = timer.step in state.done_steps or state.stage not in (Stage.BENCH_CLEARED, Stage.IN_WORK)
    return over and timer.is_up(now)
