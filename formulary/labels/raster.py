"""A finished PDF as dots: what the screen's preview shows and what tests look at."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Raster:
    """Grey dots, one byte each (0 is black), row by row from the top, ``stride`` bytes a row."""

    width: int
    height: int
    stride: int
    pixels: bytes


def page_count(pdf: bytes) -> int:
    """Return how many labels a PDF holds."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    try:
        return len(document)
    finally:
        document.close()


def rasterise(pdf: bytes, page: int, dots_per_inch: float) -> Raster:
    """Return one page of a PDF, counted from 0, at a resolution."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    try:
        bitmap = document[page].render(scale=dots_per_inch / 72, grayscale=True)
        return Raster(bitmap.width, bitmap.height, bitmap.stride, bytes(bitmap.buffer))
    finally:
        document.close()
