"""The process is killed in the middle of weighing; a new one goes on where the bench was."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from formulary.people import Person
from tests.flows.bench_keys import TECHNICIAN, BenchKeys, ask
from tests.flows.conftest import CTRL, Keyboard
from tests.flows.dying_bench import READY, TIMER_MINUTES
from tests.ui.at_desk import page_key, plain
from tests.ui.conftest import settled
from ui.bench.timer_strip import TimerStrip
from ui.context import PageName
from ui.window import Window


def killed_while_weighing(house_file: Path) -> str:
    """Return the lot on which a window in its own process was killed."""
    child = subprocess.Popen(
        [sys.executable, "-m", "tests.flows.dying_bench", str(house_file)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={"QT_QPA_PLATFORM": "offscreen", **os.environ},
    )
    try:
        assert child.stdout is not None
        said = child.stdout.readline()
        assert said.startswith(READY), child.stderr and child.stderr.read()
    finally:
        child.send_signal(signal.SIGKILL)
        child.communicate()
    assert child.returncode == -signal.SIGKILL
    return said.split()[-1]


def assert_timer_runs_on(window: Window, lot: str) -> None:
    """Look that the timer started before the kill still runs, and in view."""
    strip = window.findChild(TimerStrip)
    assert isinstance(strip, TimerStrip)
    (said,) = map(plain, strip.said())
    assert said.endswith(lot)
    left = said.partition(": ")[2].partition(" left")[0]
    hours, minutes, _ = map(int, left.split(":"))
    assert TIMER_MINUTES - 10 < hours * 60 + minutes <= TIMER_MINUTES


def test_a_killed_process_loses_nothing_confirmed_and_a_new_one_says_where_it_was(
    qtbot: QtBot, house_file: Path, opened: Callable[[Path, str], Window]
) -> None:
    lot = killed_while_weighing(house_file)
    window = opened(house_file, "en")
    keys = BenchKeys(Keyboard(qtbot, window), window)
    people = ask(keys, lambda desk: {each.name: each for each in desk.store.every(Person)})
    window.context.seat(replace(window.context.desk, person=people[TECHNICIAN]))
    with qtbot.waitActive(window):
        window.activateWindow()
    keys.press(page_key(PageName.BENCH), CTRL)
    settled(qtbot, window)
    assert keys.lot == lot
    assert "Where it was: Container" in plain(keys.page.where.text())
    assert TECHNICIAN in keys.page.where.text()
    first, second, *_ = keys.work.state.lines
    assert [each.raw for each in first.readings] == ["18.00"]
    assert second.readings == ()
    assert_timer_runs_on(window, lot)
    assert keys.heading == "White soft paraffin"
    keys.brings("36.00")
    assert keys.heading.startswith("Step 1")
    keys.press(Qt.Key.Key_Return)
    assert keys.heading == "Vessel for B: Water phase"
