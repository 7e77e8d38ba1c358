"""A record's history as a paper: each entry with who, when and where, and what it changed."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.desk import Desk
from formulary.labels.page import Page
from formulary.messages import message
from formulary.papers.blocks import Block, Strip, bold, line, small
from formulary.papers.paging import paged
from formulary.papers.paper_head import About, paper_head, sample_stamps
from formulary.papers.printed import printed_now
from formulary.papers.words import Words, words_of
from formulary.verbs.read_history import Happened, RecordHistory

LONGEST = 400
"""Signs of a value that are printed; a whole list of balances would fill the page."""


def history_paper(desk: Desk, history: RecordHistory, words_typed: str = "") -> tuple[Page, ...]:
    """Return the pages, A4: of all entries, or of those in which the typed words are found.

    Raises Refusal for a sign that the fonts don't have.
    """
    house = desk.house
    words = words_of(house)
    found = history.filtered(words_typed)
    about = About(
        paper=words.text(message("history.paper")),
        title=words.text(message("history.title", name=history.subject.name)),
        version=_counted(words, len(found), len(history.entries), words_typed),
        no_lot=words.text(message("history.no_lot")),
        stamps=sample_stamps(house),
    )
    blocks = (Block(tuple(_strips(each, words))) for each in found)
    return paged(blocks, paper_head(house, about, printed_now(desk)))


def _counted(words: Words, found: int, all_: int, typed: str) -> str:
    if not typed:
        return words.text(message("history.counted", n=found))
    return words.text(message("history.counted_some", n=found, all=all_, words=typed))


def _strips(each: Happened, words: Words) -> Iterator[Strip]:
    who = f"{words.signed(each.person, each.at)}, {words.text(each.post)}, {each.workstation}"
    yield line(bold(f"{each.number}. {words.text(each.act)}"), above_mm=1.5)
    yield line(small(who), indent_mm=6.0)
    for said in each.notes(LONGEST):
        yield line(small(words.text(said)), indent_mm=6.0)
