"""Where a working goes: to the clipboard, to a printer, or into a PDF."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QMarginsF
from PySide6.QtGui import QGuiApplication, QPageLayout, QPageSize, QPdfWriter, QTextDocument
from PySide6.QtPrintSupport import QPrinter

from ui.calculations.paper import Paper
from ui.papers.files import writing_to

MARGIN_MM = 20


def copy(text: str) -> None:
    """Put a text on the clipboard."""
    QGuiApplication.clipboard().setText(text)


def print_on(printer: QPrinter, paper: Paper) -> None:
    """Print a working on the printer that was chosen."""
    printer.setDocName(paper.title)
    _document(paper).print_(printer)


def write_pdf(path: Path, paper: Paper) -> None:
    """Write a working as a PDF. Raises a Refusal where that can't be."""
    with writing_to(path):
        path.touch()
    writer = QPdfWriter(str(path))
    writer.setTitle(paper.title)
    writer.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
    writer.setPageMargins(QMarginsF(*[MARGIN_MM] * 4), QPageLayout.Unit.Millimeter)
    _document(paper).print_(writer)


def _document(paper: Paper) -> QTextDocument:
    document = QTextDocument()
    document.setHtml(paper.html())
    return document
