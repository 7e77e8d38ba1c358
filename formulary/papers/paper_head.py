"""The head and foot that papers share: the house, what paper it is, and what it is about."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from formulary.house import House
from formulary.messages import Message, message
from formulary.papers.head import HeadTexts, head_of
from formulary.papers.paging import Head
from formulary.papers.printed import Printed
from formulary.papers.words import Words, words_of


@dataclass(frozen=True, slots=True)
class About:
    """What a paper is about: its kind, title and version as text, and a lot if there is one.

    ``no_lot`` is said in the lot's place. ``stamps`` are why nothing of it may be used, if so.
    """

    paper: str
    title: str
    version: str
    lot: str = ""
    no_lot: str = ""
    stamps: tuple[Message, ...] = ()


def paper_head(house: House, about: About, printed: Printed) -> Head:
    """Return the head of each page. Raises Refusal for a title that leaves too little room."""
    words = words_of(house)
    return head_of(
        HeadTexts(
            maker=words("head.maker", house=house.name, paper=about.paper),
            title=about.title,
            version=about.version,
            lot=about.lot,
            lot_said=words("head.lot", lot=about.lot) if about.lot else about.no_lot,
            page=lambda number, total: words("head.page", number=number, total=total),
            stamp=_stamp(about.stamps, words),
            foot=printed.foot(words),
        )
    )


def sample_stamps(house: House) -> tuple[Message, ...]:
    """Return the stamp of papers of the sample pharmacy, none for a real one."""
    return (message("papers.stamp.sample"),) if house.sample else ()


def _stamp(marks: Iterable[Message], words: Words) -> str:
    said = tuple(marks)
    return words.text(message("papers.stamp.says", marks=said)) if said else ""
