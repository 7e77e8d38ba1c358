"""A leaflet for a patient: one page of headings and sentences, in type as large as they allow."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from formulary.errors import Refusal
from formulary.labels.metrics import Weight
from formulary.labels.page import Direction, Page
from formulary.labels.script import direction_of
from formulary.messages import message
from formulary.papers.blocks import FULL_MM, Align, Block, Cell, Strip, Text
from formulary.papers.head import HeadTexts, head_of
from formulary.papers.paging import paged

SIZES_PT = (14.0, 13.0, 12.0, 11.0)
"""The largest first; 11 points is the least for what a patient must read (USP <17>, sans serif)."""

_HEADING_MORE_PT = 2.0


@dataclass(frozen=True, slots=True)
class Part:
    """A heading with its sentences, each a paragraph of its own."""

    heading: str
    sentences: tuple[str, ...]


def leaflet(head: HeadTexts, parts: Iterable[Part]) -> tuple[Page, ...]:
    """Return one page, A4.

    Raises :class:`formulary.errors.Refusal` where it doesn't fit in legible type, and for a sign
    that the fonts don't have.
    """
    said = tuple(each for each in parts if each.sentences)
    for size in SIZES_PT:
        pages = paged(_blocks(said, size), head_of(head))
        if len(pages) == 1:
            return pages
    raise Refusal(message("papers.leaflet_too_long", least=int(SIZES_PT[-1])))


def _blocks(parts: Sequence[Part], size: float) -> Iterator[Block]:
    for each in parts:
        # A name in Latin letters stands on the side from which the rest is read.
        from_right = direction_of(each.heading) is Direction.RIGHT_TO_LEFT
        align = Align.RIGHT if from_right else Align.LEFT
        title = Text(each.heading, size + _HEADING_MORE_PT, Weight.BOLD, align)
        texts = (title, *(Text(sentence, size, align=align) for sentence in each.sentences))
        yield Block((Strip((Cell(FULL_MM, texts),), above_mm=size / 4),))
