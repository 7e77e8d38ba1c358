"""The stock list: what is on the shelf today, how each lot stands, and what is low."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from formulary.desk import Desk
from formulary.house import House
from formulary.labels.page import Page
from formulary.messages import message
from formulary.papers.blocks import Block, Strip, Text, bold, heading, line, row, small
from formulary.papers.paging import paged
from formulary.papers.paper_head import About, paper_head, sample_stamps
from formulary.papers.printed import Printed, printed_now
from formulary.papers.words import Words, words_of
from formulary.quantity.writing import held_together
from formulary.stock.listing import STOPS, LotOnShelf
from formulary.verbs.list_stock import Stock, list_stock

_LOT_MM = (52.0, 38.0, 26.0, 28.0, 36.0)
_LOT_COLUMNS = ("ingredient", "lot", "on_hand", "until", "standing")
_LOW_MM = (80.0, 50.0, 50.0)


@dataclass(frozen=True, slots=True)
class StockSubject:
    """The stock as it stood on a day."""

    house: House
    stock: Stock
    today: date
    printed: Printed


def stock_today(desk: Desk) -> StockSubject:
    """Return the stock at this moment."""
    today = desk.today
    return StockSubject(desk.house, list_stock(desk.store, today), today, printed_now(desk))


def stock_list(subject: StockSubject) -> tuple[Page, ...]:
    """Return the pages, A4. Raises Refusal for a sign that the fonts don't have."""
    words = words_of(subject.house)
    about = About(
        paper=words("stock.paper"),
        title=words("stock.title", day=subject.today),
        version=words("stock.counted", n=len(subject.stock.lots)),
        no_lot=words("stock.every_lot"),
        stamps=sample_stamps(subject.house),
    )
    return paged(_parts(subject.stock, words), paper_head(subject.house, about, subject.printed))


def _parts(stock: Stock, words: Words) -> Iterator[Block]:
    yield from _lots(stock, words)
    yield from _low(stock, words)
    yield from _goods(stock, words)


def _lots(stock: Stock, words: Words) -> Iterator[Block]:
    titles = tuple(small(words(f"stock.column.{each}")) for each in _LOT_COLUMNS)
    head = (heading(words("stock.lots")), row(_LOT_MM, titles))
    if not stock.lots:
        yield Block((line(Text(words("stock.nothing"))),), head)
    for each in stock.lots:
        yield Block(tuple(_lot(each, words)), head)


def _lot(each: LotOnShelf, words: Words) -> Iterator[Strip]:
    lot = each.lot
    standing = words.text(message(f"stock.standing.{each.standing.value}"))
    texts = (
        bold(held_together(each.ingredient)),
        Text(lot.number),
        Text(", ".join(map(words.written, each.on_hand))),
        Text(words.written(each.until)),
        bold(standing) if each.standing in STOPS else Text(standing),
    )
    yield row(_LOT_MM, texts)
    containers = tuple(
        words("stock.container", number=held.container.number, held=held.on_hand)
        for held in each.holdings
    )
    places = dict.fromkeys(held.container.place or lot.place for held in each.holdings)
    said = (words("stock.from", supplier=lot.supplier), *places, *containers)
    yield line(small("; ".join(filter(None, said))), indent_mm=4.0)


def _low(stock: Stock, words: Words) -> Iterator[Block]:
    head = (heading(words("stock.low")), _columns(("ingredient", "usable", "least"), words))
    for name, each in stock.low:
        figures = (Text(words.written(amount)) for amount in (each.usable, each.level.least))
        yield Block((row(_LOW_MM, (bold(name), *figures)),), head)


def _columns(names: tuple[str, ...], words: Words) -> Strip:
    return row(_LOW_MM, tuple(small(words(f"stock.column.{each}")) for each in names))


def _goods(stock: Stock, words: Words) -> Iterator[Block]:
    head = (heading(words("stock.goods")), _columns(("good", "left", "standing"), words))
    for each in stock.goods:
        verdict = bold(words("stock.is_low")) if each.is_low else Text("")
        texts = (Text(each.good.name), Text(words.written(each.left)), verdict)
        yield Block((row(_LOW_MM, texts),), head)
