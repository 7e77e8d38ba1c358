"""A window in a process of its own that is killed in the middle of weighing.

It works the cream as far as the second container, starts a timer, types a figure without Enter,
says so on its standard output, and goes on living until somebody kills it.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from formulary.people import Person
from tests.flows.bench_keys import TECHNICIAN, BenchKeys, ask, prepare
from tests.flows.conftest import CTRL, SHIFT, Keyboard
from tests.flows.test_bench_by_keys import begin, start
from ui import theme
from ui.context import Context
from ui.opening import Opening
from ui.window import Window

READY = "typed, not confirmed"
TIMER_MINUTES = 90


class Patience:
    """Waits as pytest-qt does, without pytest."""

    def waitUntil(self, callback: Callable[[], bool], *, timeout: int) -> None:
        """Let events pass until it holds. Raises TimeoutError."""
        end = time.monotonic() + timeout / 1000
        while not callback():
            QApplication.processEvents()
            if time.monotonic() > end:
                raise TimeoutError
            time.sleep(0.001)


def main(path: Path) -> None:
    """Work until a figure is typed, then wait to be killed."""
    application = QApplication([])
    QCoreApplication.setOrganizationName("misce")
    QCoreApplication.setApplicationName("misce")
    theme.apply(application, type_factor=1.0, dark=False)
    window = Window(Context("en"))
    window.resize(1280, 800)
    window.show_empty()
    window.show()
    window.activateWindow()
    patience = Patience()
    Opening(window, str(path)).begin()
    patience.waitUntil(lambda: window.context.is_open, timeout=60_000)
    window.context.seat(replace(window.context.desk, signed_in=True))
    keys = BenchKeys(Keyboard(patience, window), window)  # type: ignore[arg-type]  # waits alike
    ask(keys, prepare)
    people = ask(keys, lambda desk: {each.name: each for each in desk.store.every(Person)})
    window.context.seat(replace(window.context.desk, person=people[TECHNICIAN]))
    start(keys)
    begin(keys)
    keys.brings("243.5")
    keys.weigh(0, "18.00")
    keys.press(Qt.Key.Key_T, CTRL | SHIFT)
    keys.enter(str(TIMER_MINUTES))
    keys.brings(keys.container(1))
    QTest.keyClicks(keys.keyboard.focused(), "36.0")
    print(READY, keys.lot, flush=True)  # noqa: T201  what the test waits for
    while True:
        QApplication.processEvents()
        time.sleep(0.01)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
