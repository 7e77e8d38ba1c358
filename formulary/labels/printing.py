"""Contents to a printer's PDF, in one call."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import BinaryIO

from formulary.house import Printer
from formulary.labels.content import LabelContent
from formulary.labels.drawing import draw
from formulary.labels.for_printer import label_pages
from formulary.labels.stock import LabelStock


def label_pdf(
    contents: Iterable[LabelContent],
    stock: LabelStock,
    out: Path | BinaryIO,
    *,
    title: str,
    printer: Printer | None = None,
) -> int:
    """Write one label per content and return how many; nothing is written if one doesn't fit.

    Raises what :func:`formulary.labels.for_printer.label_pages` raises.
    """
    contents = tuple(contents)
    pages = label_pages(contents, stock, printer)
    draw(pages, out, title=title)
    return len(contents)
