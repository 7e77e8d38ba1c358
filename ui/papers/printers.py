"""On which printer: the system's own question."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QWidget


def ask_printer(parent: QWidget, then: Callable[[QPrinter], None]) -> None:
    """Let a printer be chosen, a PDF file among them where the system offers one."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    dialog = QPrintDialog(printer, parent)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.setWindowModality(Qt.WindowModality.WindowModal)
    dialog.accepted.connect(lambda: then(printer))
    dialog.show()
