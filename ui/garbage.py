"""Python's rounding up of unreachable cycles, kept to the window's thread.

Left to itself it runs on whichever thread happens to ask for memory; a page that is dropped while
the worker runs would be destroyed there, and Qt ends the program for that.
"""

from __future__ import annotations

import gc

from PySide6.QtCore import QObject, QTimer

EVERY_MS = 500


class Garbage(QObject):
    """Looks every half second whether there is enough to collect, by Python's own thresholds."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        gc.disable()
        timer = QTimer(self, interval=EVERY_MS)
        timer.timeout.connect(collect_what_is_due)
        timer.start()


def collect_what_is_due() -> None:
    """Collect the oldest generation that is due, with all younger ones."""
    counted = zip(gc.get_count(), gc.get_threshold(), strict=True)
    due = [age for age, (count, threshold) in enumerate(counted) if count > threshold]
    if due:
        gc.collect(due[-1])
