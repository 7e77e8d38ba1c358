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
BARE = RESIDENT + """
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
