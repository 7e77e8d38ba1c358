"""From process start to the first paint and to a usable list, beside a bare window with a table."""

from __future__ import annotations

import statistics
import tempfile
from collections.abc import Iterable
from pathlib import Path

from formulary import opening
from tests.bench.measuring import Figure, moments

BARE = """
import sys, time
from PySide6.QtCore import QAbstractTableModel, Qt, QTimer
from PySide6.QtWidgets import QApplication, QMainWindow, QTableView
class Model(QAbstractTableModel):
    def rowCount(self, parent=None): return 50
    def columnCount(self, parent=None): return 6
    def data(self, index, role=Qt.DisplayRole):
        return f"cell {index.row()}" if role == Qt.DisplayRole else None
class View(QTableView):
    painted = False
    def paintEvent(self, event):
        super().paintEvent(event)
        if not View.painted:
            View.painted = True
            print(time.time(), flush=True)
            QTimer.singleShot(0, QApplication.quit)
app = QApplication(sys.argv)
window, view = QMainWindow(), View()
view.setModel(Model())
window.setCentralWidget(view)
window.resize(1280, 800)
window.show()
app.exec()
"""


def figures() -> Iterable[Figure]:
    """Yield the median times of both moments."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "sample.misce"
        opening.create_sample(place).store.close()
        bare = statistics.median(times[0] for times in moments(BARE))
        ours = moments(OURS, str(place))
    yield Figure("start to first paint", "ms", statistics.median(t[0] for t in ours), bare, "<= 1.5x")
    yield Figure("start to a usable list", "ms", statistics.median(t[1] for t in ours), bare, "<= 3x")
