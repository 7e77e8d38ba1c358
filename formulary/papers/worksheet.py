"""The worksheet of a preparation: blank with its targets, and filled with what was done."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from formulary.labels.page import Page
from formulary.papers.balance_part import balance_checks
from formulary.papers.blocks import Block
from formulary.papers.facts import dating, facts, whole
from formulary.papers.goods_part import clearance, goods
from formulary.papers.kept_part import calculations
from formulary.papers.method_part import method
from formulary.papers.paging import Head, paged
from formulary.papers.paper_head import About, paper_head
from formulary.papers.signing_part import deviations, exemptions, log, review, signatures
from formulary.papers.specimen_part import specimens
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
    return paged(_parts(subject, words), _head(subject, words))


def worksheets(subjects: Iterable[Subject]) -> tuple[Page, ...]:
    """Return several worksheets one after the other, each with its own numbering."""
    return tuple(page for subject in subjects for page in worksheet(subject))


def _head(subject: Subject, words: Words) -> Head:
    about = About(
        paper=words("paper.record" if subject.is_begun else "paper.worksheet"),
        title=subject.content.title,
        version=words("head.version", code=subject.content.code, number=subject.version),
        lot=subject.lot,
        no_lot=words("head.no_lot"),
        stamps=subject.stamps,
    )
    return paper_head(subject.house, about, subject.printed)


def _parts(subject: Subject, words: Words) -> Iterator[Block]:
    for part in (
        facts,
        dating,
        whole,
        clearance,
        balance_checks,
        weighing,
        vessels,
        method,
        goods,
        review,
        deviations,
        exemptions,
        calculations,
        specimens,
        signatures,
        log,
    ):
        yield from part(subject, words)
