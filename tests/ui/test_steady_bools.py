from __future__ import annotations

import sys

from PySide6.QtCore import QObject, Signal

from ui import steady_bools


class Bell(QObject):
    rung = Signal()


def test_true_outlasts_more_signals_than_a_day_at_the_bench_has() -> None:
    bell = Bell()
    for _ in range(20_000):
        bell.rung.emit()
    assert not steady_bools.needed() or sys.getrefcount(True) > steady_bools.RESERVE // 2
