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

# Watches the program itself: its window's first paint, the list's first paint with rows in it,
# and the first formula in view.
OURS = """
import sys, time
from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QApplication, QListView, QMainWindow
from ui.main import main, application
from ui.options import read_options
class Watch(QObject):
    def __init__(self):
        super().__init__()
        self.seen = []
    def note(self, what):
        if what not in self.seen:
            self.seen.append(what)
            print(time.time(), flush=True)
        if what == "leaf":
            QApplication.quit()
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint:
            if isinstance(watched, QMainWindow):
                QTimer.singleShot(0, lambda: self.note("window"))
            view = watched.parent()
            if isinstance(view, QListView) and view.model() is not None and view.model().rowCount():
                QTimer.singleShot(0, lambda: self.note("list"))
            window = QApplication.activeWindow() or next(iter(QApplication.topLevelWidgets()), None)
            if "list" in self.seen and "Gull" in (window.windowTitle() if window else ""):
                pages = getattr(window, "pages", {})
                page = pages.get("formulas")
                if getattr(page, "_shown", None) is not None:
                    QTimer.singleShot(0, lambda: self.note("leaf"))
        return False
app = application(read_options([]))
watch = Watch()
app.installEventFilter(watch)
main(["--formulary", sys.argv[1]])
"""


def figures() -> Iterable[Figure]:
    """Yield the median times of the moments that somebody waits for."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "sample.misce"
        opening.create_sample(place).store.close()
        bare = statistics.median(times[0] for times in moments(BARE))
        ours = moments(OURS, str(place))
    for position, name, aim in (
        (0, "start to first paint", "<= 1.5x"),
        (1, "start to a usable list", "<= 3x"),
        (2, "start to the first formula in view", "no aim set"),
    ):
        yield Figure(name, "ms", statistics.median(t[position] for t in ours), bare, aim)
