"""What is read on finished papers, and what would be wrong with any of them."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations

from formulary.labels.drawing import pdf_bytes
from formulary.labels.page import GlyphRun, Page, Place
from tests.helpers.pdf_text import page_texts, squeezed

INSIDE = Place(10, 4, 200, 293)
"""What an office printer reaches of a page of A4, and a little less."""


def texts_of(pages: tuple[Page, ...]) -> list[str]:
    """Return what another program reads on each page, without spaces."""
    return [squeezed(text) for text in page_texts(pdf_bytes(pages, title="test"))]


def missing(pages: tuple[Page, ...], *texts: str) -> list[str]:
    """Return which of the texts can't be read anywhere."""
    found = "".join(texts_of(pages))
    return [each for each in texts if squeezed(each) not in found]


def misplaced(pages: Iterable[Page]) -> list[object]:
    """Return what leaves its page or lies over something else."""
    outside = [item for page in pages for item in page.items if not item.place.within(INSIDE)]
    runs = [[each for each in page.items if isinstance(each, GlyphRun)] for page in pages]
    pairs = (pair for page in runs for pair in combinations(page, 2))
    return [*outside, *(pair for pair in pairs if pair[0].place.overlaps(pair[1].place))]


def numbers_of(pages: tuple[Page, ...], said: str) -> list[str]:
    """Return what each page says where ``{n}`` of ``{total}`` should stand, and isn't there."""
    total = len(pages)
    wanted = [squeezed(said.format(n=n, total=total)) for n in range(1, total + 1)]
    return [w for w, text in zip(wanted, texts_of(pages), strict=True) if w not in text]
