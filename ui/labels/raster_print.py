"""Printing where there is no CUPS: the finished PDF as the printer's own dots, through Qt."""

from __future__ import annotations

from PySide6.QtCore import QMarginsF, QRectF, QSizeF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter

from formulary.errors import Refusal
from formulary.house import Printer
from formulary.labels.raster import rasterise
from formulary.labels.stock import LabelStock
from formulary.messages import message
from ui.labels.canvas import image_of


def print_as_dots(pdf: bytes, count: int, printer: Printer, stock: LabelStock) -> None:
    """Print every page of the PDF at the printer's resolution. Raises a Refusal if it won't."""
    target = _page_device(printer, stock)
    painter = QPainter()
    if not painter.begin(target):
        raise Refusal(message("ui_labels.printer_silent", printer=printer.name))
    try:
        for number in range(count):
            if number:
                target.newPage()
            raster = rasterise(pdf, number, target.resolution())
            painter.drawImage(QRectF(0, 0, raster.width, raster.height), image_of(raster))
    finally:
        painter.end()


def _page_device(printer: Printer, stock: LabelStock) -> QPrinter:
    target = QPrinter(QPrinter.PrinterMode.HighResolution)
    target.setPrinterName(printer.queue)
    target.setResolution(printer.dots_per_inch)
    size = QPageSize(QSizeF(*stock.page_mm), QPageSize.Unit.Millimeter)
    target.setPageLayout(QPageLayout(size, QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0)))
    target.setFullPage(True)
    return target
