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

# The program itself, watched where it paints: its window, then the list with rows in it, then the
# first formula in view. Nothing is watched that would slow the way there.
OURS = """
import gc
gc.disable()  # as ui.__main__ does until the first paint
import sys, time
from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QApplication, QListView, QMainWindow
import ui.window
seen = []
def note(what):
    if what not in seen:
        seen.append(what)
        print(time.time(), flush=True)
class Window(ui.window.Window):
    def paintEvent(self, event):
        super().paintEvent(event)
        if "window" not in seen:
            QTimer.singleShot(0, lambda: note("window"))
    def show_list(self, hits):
        super().show_list(hits)
        self.painted = Painted()
        view = self.findChild(QListView, "index")
        view.viewport().installEventFilter(self.painted)
        self.look()
    def look(self):
        if getattr(self.pages.get("formulas"), "_shown", None) is None:
            QTimer.singleShot(10, self.look)
        else:
            note("leaf")
            QApplication.quit()
class Painted(QObject):
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint:
            QTimer.singleShot(0, lambda: note("list"))
        return False
import ui.main
ui.main.Window = Window
ui.main.main(["--formulary", sys.argv[1]])
"""


def figures() -> Iterable[Figure]:
    """Yield the median times of the moments that somebody waits for."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "sample.misce"
        opening.create_sample(place, worked=False).store.close()
        floors, ours = moments((BARE,), (OURS, str(place)))
    bare = statistics.median(times[0] for times in floors)
    for position, name, aim in (
        (0, "start to first paint", "<= 1.5x"),
        (1, "start to a usable list", "<= 3x"),
        (2, "start to the first formula in view", "no aim set"),
    ):
        yield Figure(name, "ms", statistics.median(t[position] for t in ours), bare, aim)
