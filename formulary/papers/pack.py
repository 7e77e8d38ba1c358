"""The inspection pack of a period: one document with its contents, bookmarks and running number.

It is put together part by part, so that whoever waits sees how far it is and may stop it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from formulary.bench.state import Deviation
from formulary.desk import Desk
from formulary.errors import NotFound
from formulary.labels.page import Bookmark, Page
from formulary.papers.blocks import FULL_MM, Align, Block, Cell, Strip, Text, heading, line, row
from formulary.papers.pack_parts import LISTS, PackSubject, in_pack, list_pages
from formulary.papers.paging import LEFT_MM, paged
from formulary.papers.paper_head import About, paper_head, sample_stamps
from formulary.papers.setting import set_strip
from formulary.papers.subject import Subject, of_lot
from formulary.papers.words import Words, words_of
from formulary.papers.worksheet import worksheet
from formulary.verbs.read_period import Days, read_period

Told = Callable[[int, int], None]
"""Told how many parts of how many are ready; it may raise to stop the work."""

_TITLE_MM, _PAGE_MM = 156.0, 24.0
_NUMBER_AT_MM = 5.0


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the pack with its pages; ``level`` 1 stands under the last of level 0."""

    title: str
    pages: tuple[Page, ...]
    level: int = 0


@dataclass(frozen=True, slots=True)
class Pack:
    """The finished pages, and where each part begins."""

    title: str
    pages: tuple[Page, ...]
    bookmarks: tuple[Bookmark, ...]


def inspection_pack(desk: Desk, days: Days, told: Told | None = None) -> Pack:
    """Return the pack of a period: records, deviations, recalls, changes, checks, training.

    Raises what ``told`` raises to stop it, and :class:`formulary.errors.Refusal` for a sign that
    the fonts don't have.
    """
    subject = in_pack(desk, read_period(desk, days))
    words, total = words_of(subject.house), len(subject.seen.made)
    first, *others = LISTS
    sections = [_list(subject, first, words)]
    deviations: dict[str, tuple[Deviation, ...]] = {}
    for number, made in enumerate(subject.seen.made):
        if told is not None:
            told(number, total)
        record = _subject(desk, made.lot)
        title = words("pack.record", lot=made.lot, title=made.title)
        sections.append(Section(title, worksheet(record) if record else (), 1))
        deviations[made.lot] = record.state.deviations if record else ()
    whole = replace(subject, deviations=deviations)
    sections += [_list(whole, each, words) for each in others]
    return _bound(whole, sections, words)


def _list(subject: PackSubject, key: str, words: Words) -> Section:
    return Section(words(f"pack.{key}"), list_pages(subject, key, words))


def _subject(desk: Desk, lot: str) -> Subject | None:
    """Return a preparation's record; one from before work at the bench was kept has none."""
    try:
        return of_lot(desk, lot)
    except NotFound:
        return None


def _bound(subject: PackSubject, sections: Sequence[Section], words: Words) -> Pack:
    """Return everything behind its contents, numbered through."""
    before = len(_contents(subject, sections, 0, words))
    contents = _contents(subject, sections, before, words)
    title = words("pack.title", first=subject.seen.days.first, last=subject.seen.days.last)
    pages = (*contents, *(page for each in sections for page in each.pages))
    starts = list(_starts(sections, before))
    marks = [Bookmark(words("pack.contents"), 0)]
    marks += [Bookmark(each.title, at, each.level) for each, at in starts]
    numbered = tuple(
        _numbered(page, words("pack.page", number=number, total=len(pages)))
        for number, page in enumerate(pages, start=1)
    )
    return Pack(title, numbered, tuple(marks))


def _starts(sections: Iterable[Section], before: int) -> Iterator[tuple[Section, int]]:
    """Yield each part that has pages with the page it begins on, counted from 0."""
    at = before
    for each in sections:
        if each.pages:
            yield each, at
        at += len(each.pages)


def _contents(
    subject: PackSubject, sections: Sequence[Section], before: int, words: Words
) -> tuple[Page, ...]:
    days = subject.seen.days
    about = About(
        paper=words("pack.paper"),
        title=words("pack.title", first=days.first, last=days.last),
        version=words("pack.every_version"),
        no_lot=words("pack.every_lot"),
        stamps=sample_stamps(subject.house),
    )
    head = (heading(words("pack.contents")),)
    blocks = (Block((_entry(each, at + 1, words),), head) for each, at in _starts(sections, before))
    missing = [each.title for each in sections if not each.pages]
    left_out = Block((line(Text(words("pack.no_record", lots=tuple(missing)))),), head)
    return paged(
        (*blocks, *([left_out] if missing else [])),
        paper_head(subject.house, about, subject.printed),
    )


def _entry(section: Section, page: int, words: Words) -> Strip:
    indent = 6.0 * section.level
    title, number = Text(section.title), Text(words.written(page), align=Align.RIGHT)
    if not indent:
        return row((_TITLE_MM, _PAGE_MM), (title, number))
    cells = (Cell(indent), Cell(_TITLE_MM - indent, (title,)), Cell(_PAGE_MM, (number,)))
    return Strip(cells, above_mm=0.8)


def _numbered(page: Page, said: str) -> Page:
    """Return the page with its number in the pack above its head."""
    strip = set_strip(Strip((Cell(FULL_MM, (Text(said, 8.0, align=Align.RIGHT),)),)))
    return replace(page, items=(*page.items, *strip.placed(LEFT_MM, _NUMBER_AT_MM)))
