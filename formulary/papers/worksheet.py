"""The worksheet of a preparation: blank with its targets, and filled with what was done."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from formulary.labels.page import Page
from formulary.messages import message
from formulary.papers.blocks import Block
from formulary.papers.facts import dating, facts, whole
from formulary.papers.goods_part import clearance, goods
from formulary.papers.head import HeadTexts, head_of
from formulary.papers.method_part import method
from formulary.papers.paging import paged
from formulary.papers.signing_part import deviations, exemptions, log, review, signatures
from formulary.papers.subject import Subject
from formulary.papers.vessels_part import vessels
from formulary.papers.weighing_part import weighing
from formulary.papers.words import Words, words_of


def worksheet(subject: Subject) -> tuple[Page, ...]:
    """Return the pages, A4: targets and working, what was done, and room for what wasn't yet.

    Raises :class:`formulary.errors.Refusal` for a sign that the fonts don't have: a paper says all
    or isn't printed.
    """
    words = words_of(subject.house)
    return paged(_parts(subject, words), head_of(_head(subject, words)))


def worksheets(subjects: Iterable[Subject]) -> tuple[Page, ...]:
    """Return several worksheets one after the other, each with its own numbering."""
    return tuple(page for subject in subjects for page in worksheet(subject))


def _head(subject: Subject, words: Words) -> HeadTexts:
    paper = words("paper.record" if subject.is_begun else "paper.worksheet")
    lot = subject.lot
    return HeadTexts(
        maker=words("head.maker", house=subject.house.name, paper=paper),
        title=subject.content.title,
        version=words("head.version", code=subject.content.code, number=subject.version),
        lot=lot,
        lot_said=words("head.lot", lot=lot) if lot else words("head.no_lot"),
        page=lambda number, total: words("head.page", number=number, total=total),
        stamp=words.text(message("papers.stamp.says", marks=subject.stamps))
        if subject.stamps
        else "",
        foot=words("foot", at=subject.printed_at, by=subject.printed_by),
    )


def _parts(subject: Subject, words: Words) -> Iterator[Block]:
    for part in (
        facts,
        dating,
        whole,
        clearance,
        weighing,
        vessels,
        method,
        goods,
        review,
        deviations,
        exemptions,
        signatures,
        log,
    ):
        yield from part(subject, words)
