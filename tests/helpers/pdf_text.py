"""The text of a PDF as another program reads it."""

from __future__ import annotations

import re
import unicodedata

# pdfium's sign for a hyphen at the end of a line.
_LINE_END_HYPHENS = str.maketrans({"\ufffe": "-", "\x02": "-"})


def page_texts(pdf: bytes) -> list[str]:
    """Return the text of each page."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    try:
        return [page.get_textpage().get_text_range() for page in document]
    finally:
        document.close()


def squeezed(text: str) -> str:
    """Return a text without any spaces and line ends, to compare what is said letter by letter."""
    plain = unicodedata.normalize("NFC", text.translate(_LINE_END_HYPHENS))
    return re.sub(r"\s", "", plain)


def properties(pdf: bytes) -> dict[str, str]:
    """Return the file's own properties: title, author and so on."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    try:
        return dict(document.get_metadata_dict())
    finally:
        document.close()


def page_sizes_mm(pdf: bytes) -> list[tuple[float, float]]:
    """Return the width and height of each page in millimetres, to a hundredth."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    try:
        sizes = [page.get_size() for page in document]
        return [(round(w * 25.4 / 72, 2), round(h * 25.4 / 72, 2)) for w, h in sizes]
    finally:
        document.close()
