"""The register of a controlled substance on paper, with its running balance and both people."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from formulary.house import House
from formulary.labels.page import Page
from formulary.messages import message
from formulary.papers.blocks import Align, Block, Strip, Text, bold, line, row, small
from formulary.papers.paging import paged
from formulary.papers.paper_head import About, paper_head, sample_stamps
from formulary.papers.printed import Printed
from formulary.papers.words import Words, words_of
from formulary.quantity.amount import Amount
from formulary.stock.controlled_register import Entry
from formulary.verbs.read_controlled import ControlledRegister

_WIDTHS_MM = (30.0, 42.0, 20.0, 20.0, 24.0, 44.0)
_COLUMNS = ("at", "what", "into", "out", "balance", "people")


@dataclass(frozen=True, slots=True)
class ControlledSubject:
    """The house and the register that is printed of it."""

    house: House
    register: ControlledRegister
    printed: Printed


def controlled_pages(subject: ControlledSubject) -> tuple[Page, ...]:
    """Return the pages, A4. Raises Refusal for a sign that the fonts don't have."""
    words, register = words_of(subject.house), subject.register
    about = About(
        paper=words("controlled.paper"),
        title=register.ingredient,
        version=_balance(register, words),
        stamps=sample_stamps(subject.house),
    )
    return paged(_rows(register, words), paper_head(subject.house, about, subject.printed))


def _balance(register: ControlledRegister, words: Words) -> str:
    if register.balance is None:
        return words("controlled.nothing")
    return words("controlled.balance", balance=register.balance)


def _rows(register: ControlledRegister, words: Words) -> Iterator[Block]:
    titles = tuple(small(words(f"controlled.column.{each}")) for each in _COLUMNS)
    head = (row(_WIDTHS_MM, titles),)
    if not register.entries:
        yield Block((line(Text(words("controlled.nothing"))),), head)
    for each in register.entries:
        yield Block((_row(each, words),), head)


def _row(entry: Entry, words: Words) -> Strip:
    said = words.text(message(f"stock.cause.{entry.cause.value}"))
    mark = words("controlled.differs") if entry.differs else ""
    what = words("controlled.what", cause=said, container=entry.container, what_for=entry.what_for)
    people = "; ".join(filter(None, (" + ".join(entry.people), entry.alone_because)))
    return row(
        _WIDTHS_MM,
        (
            small(words.written(entry.at)),
            small(" ".join(filter(None, (what, mark)))),
            _figure(entry.into, words),
            _figure(entry.out, words),
            bold(words.written(entry.balance)),
            small(people),
        ),
    )


def _figure(amount: Amount | None, words: Words) -> Text:
    return Text("" if amount is None else words.written(amount), align=Align.LEFT)
