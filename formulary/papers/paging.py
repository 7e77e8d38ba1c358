"""Blocks onto pages: kept together where a page holds them, split between lines where none does."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import takewhile

from formulary.labels.page import Item, Page
from formulary.papers.blocks import Block, Strip
from formulary.papers.setting import SetStrip, set_strip

WIDTH_MM, HEIGHT_MM = 210.0, 297.0
LEFT_MM, TOP_MM, BOTTOM_MM = 18.0, 10.0, 282.0
"""A4, with room on the left for a file's holes and everywhere for what a printer can't reach."""

_HARDLY = 1e-6
_HEADS_MM = 40.0
"""What the heads of a part may take at most, below the head of the page."""


@dataclass(frozen=True, slots=True)
class Head:
    """What stands at the top of every page, and how high it is."""

    height_mm: float
    drawn: Callable[[int, int], tuple[Item, ...]]


@dataclass
class _Sheets:
    """Pages as they fill up."""

    top: float
    pages: list[list[Item]] = field(default_factory=list)
    at: float = 0.0
    head: tuple[Strip, ...] = ()

    def begin(self) -> None:
        self.pages.append([])
        self.at, self.head = self.top, ()

    @property
    def fresh(self) -> bool:
        return self.at <= self.top + _HARDLY

    @property
    def left(self) -> float:
        return BOTTOM_MM - self.at + _HARDLY

    def put(self, strip: SetStrip) -> None:
        self.pages[-1] += strip.placed(LEFT_MM, self.at)
        self.at += strip.height_mm

    def put_head(self, head: tuple[Strip, ...]) -> None:
        """Put what of a head isn't there yet: a part's heading stays over all its lanes."""
        begun = tuple(takewhile(lambda each: each in self.head, head))
        for each in head[len(begun) :]:
            self.put(set_strip(self._at_top(each)))
        self.head = head

    def _at_top(self, strip: Strip) -> Strip:
        return replace(strip, above_mm=0.0, ruled=False) if self.fresh else strip

    def flow(self, strip: SetStrip, head: tuple[Strip, ...]) -> None:
        """Put a strip, going on over pages where it must."""
        while strip.height_mm > self.left:
            strip = self._begun(strip)
            self.begin()
            self.put_head(head)
        self.put(strip)

    def _begun(self, strip: SetStrip) -> SetStrip:
        """Put what of a strip this page still takes, and return the rest."""
        if strip.stays_whole and strip.height_mm <= BOTTOM_MM - self.top - _HEADS_MM:
            return strip
        first, rest = strip.split(self.left)
        if first is None:
            return strip
        self.put(first)
        return rest


def paged(blocks: Iterable[Block], head: Head) -> tuple[Page, ...]:
    """Return the pages, each under its head with its number and how many there are."""
    sheets = _Sheets(TOP_MM + head.height_mm)
    sheets.begin()
    for block in blocks:
        _put(sheets, block)
    total = len(sheets.pages)
    return tuple(
        Page(WIDTH_MM, HEIGHT_MM, (*head.drawn(number, total), *items))
        for number, items in enumerate(sheets.pages, start=1)
    )


def _put(sheets: _Sheets, block: Block) -> None:
    strips = [set_strip(each) for each in block.strips]
    if not sheets.fresh and _height(strips) + _head_height(sheets, block) > sheets.left:
        whole_page = BOTTOM_MM - sheets.top
        heading = _height([set_strip(each) for each in block.head])
        fits_a_page = _height(strips) + heading <= whole_page
        if fits_a_page or _head_height(sheets, block) + _least(strips) > sheets.left:
            sheets.begin()
    sheets.put_head(block.head)
    for strip in strips:
        sheets.flow(strip, block.head)


def _head_height(sheets: _Sheets, block: Block) -> float:
    return _height([set_strip(each) for each in block.head if each not in sheets.head])


def _least(strips: Sequence[SetStrip]) -> float:
    """Return the room that the beginning of a block should have, so that no head stands alone."""
    return min(strips[0].height_mm, (BOTTOM_MM - TOP_MM) / 4) if strips else 0.0


def _height(strips: Iterable[SetStrip]) -> float:
    return sum(each.height_mm for each in strips)
