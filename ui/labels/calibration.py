"""The page to align a printer by: to the printer as labels go, or into a file."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.house import Printer
from formulary.labels.for_printer import calibration
from formulary.labels.stock import LabelStock
from ui.labels.delivery import to_file, to_printer


@dataclass(frozen=True, slots=True)
class _Named:
    """What the file is called."""

    title: str = "Calibration"
    lot: str = "calibration"


def print_calibration(_: Desk, stock: LabelStock, printer: Printer, words: Catalogue) -> None:
    """Hand the page to a printer. Raises a refusal where that can't be."""
    to_printer(_Named(), printer)(calibration(stock, words, printer), stock)


def write_calibration(stock: LabelStock, path: Path, words: Catalogue) -> None:
    """Write the page as a PDF. Raises a refusal where that can't be."""
    to_file(_Named(), path)(calibration(stock, words), stock)
