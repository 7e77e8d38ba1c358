"""A desk that is locked: its timers run on, and how things are kept is still read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

from PySide6.QtCore import Qt

from formulary.desk import Desk
from tests.helpers.desks import MORNING, Stopped
from tests.helpers.stocked_bench import Job, a_job
from tests.ui.bench.conftest import CTRL, SHIFT, AtPage
from ui.bench.timer_strip import TimerStrip

Bring = Callable[[Job], AtPage]


def test_a_timer_runs_on_while_nobody_is_signed_in(beside: Bring, desk: Desk) -> None:
    at = beside(a_job(desk).started().cleared())
    at.press(Qt.Key.Key_T, CTRL | SHIFT)
    at.enter("5")
    strip = TimerStrip(at.context)
    at.qtbot.addWidget(strip)
    at.settle()
    at.context.lock()
    assert not at.context.signed_in
    later = Stopped(MORNING + timedelta(minutes=2))
    at.context.seat(replace(at.context.desk, clock=later))
    at.qtbot.waitUntil(lambda: "3:00 left" in strip.said()[0])
    at.context.seat(replace(at.context.desk, clock=Stopped(MORNING + timedelta(minutes=5))))
    at.qtbot.waitUntil(lambda: "time is up" in strip.said()[0])
