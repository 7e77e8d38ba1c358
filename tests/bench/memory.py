"""Resident memory of the window on the sample house, beside a bare window with a table."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable
from pathlib import Path

from formulary import opening
from tests.bench.measuring import Figure, child

RESIDENT = """
def resident():
    with open("/proc/self/status") as status:
        for line in status:
            if line.startswith("VmRSS"):
                return int(line.split()[1]) / 1024
"""
BARE = (
    RESIDENT
    + """
import sys
from PySide6.QtWidgets import QApplication, QMainWindow, QTableView
app = QApplication(sys.argv)
window = QMainWindow()
window.setCentralWidget(QTableView())
window.resize(1280, 800)
window.show()
for _ in range(5):
    app.processEvents()
print(resident())
"""
)

# The program itself, a moment after its first formula came into view.
OURS = (
    RESIDENT
    + """
import sys
from PySide6.QtCore import QTimer
from ui.main import application, main
from ui.options import read_options
app = application(read_options([]))
def look():
    windows = [each for each in app.topLevelWidgets() if hasattr(each, "pages")]
    page = windows[0].pages.get("formulas") if windows else None
    if getattr(page, "_shown", None) is None:
        QTimer.singleShot(50, look)
    else:
        QTimer.singleShot(500, report)
def report():
    print(resident(), flush=True)
    app.quit()
QTimer.singleShot(50, look)
main(["--formulary", sys.argv[1]])
"""
)


def figures() -> Iterable[Figure]:
    """Yield the resident memory with the sample house open."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "sample.misce"
        opening.create_sample(place, worked=False).store.close()
        bare, ours = float(child(BARE)), float(child(OURS, str(place)))
    yield Figure("resident, sample house open", "MiB", ours, bare, "<= 130 MiB")
