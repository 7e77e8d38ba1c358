"""The lots on the shelf as a model; all of them are here, narrowed by words and by standing."""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum

from PySide6.QtCore import QObject

from formulary.folding import folded_words, sought_words
from formulary.messages import message
from formulary.stock.listing import STOPS, LotOnShelf, Standing
from formulary.stock.shelf import for_reading
from ui import signs
from ui.context import Context
from ui.forms.days import distance, today
from ui.widgets.row_model import Columns, RowModel


class Column(IntEnum):
    """The columns, in reading order; the name in small letters is its place in the catalogue."""

    INGREDIENT = 0
    LOT = 1
    STANDING = 2
    UNTIL = 3
    AWAY = 4
    ON_HAND = 5
    PLACE = 6
    SUPPLIER = 7


_QUIET = (Column.AWAY, Column.SUPPLIER)


def sign_of(standing: Standing) -> signs.Sign:
    """Return the sign beside a standing's word."""
    if standing in STOPS:
        return signs.Sign.OCTAGON
    thought = standing in (Standing.QUARANTINE, Standing.EXPIRING)
    return signs.Sign.TRIANGLE if thought else signs.Sign.TICK


class StockModel(RowModel[LotOnShelf]):
    """Rows of lots."""

    def __init__(self, context: Context, parent: QObject | None = None) -> None:
        columns = Columns("ui_stock", Column, Column.STANDING, _QUIET, figures=(Column.ON_HAND,))
        super().__init__(context, columns, parent)
        self._all: tuple[LotOnShelf, ...] = ()

    def show_lots(self, lots: Sequence[LotOnShelf]) -> None:
        """Take the lots there are; :meth:`narrow` says which show."""
        self._all = tuple(lots)

    def narrow(self, words: str, standing: Standing | None) -> None:
        """Show the lots in which every word begins a word, of one standing if one is named."""
        sought = sought_words(words)
        of_it = (each for each in self._all if standing in (None, each.standing))
        self.show_rows(each for each in of_it if _fits(each, sought))

    def key(self, row: LotOnShelf) -> str:
        """Return a lot's id."""
        return row.lot.id

    def sign(self, row: LotOnShelf) -> signs.Sign:
        """Return the sign of a lot's standing."""
        return sign_of(row.standing)

    def written(self, row: LotOnShelf) -> tuple[str, ...]:
        """Return what the cells of a row say, in the order of the columns."""
        written, said = self.context.catalogue.written, self.context.said
        return (
            row.ingredient,
            row.lot.number,
            said(message(f"stock.standing.{row.standing.value}")),
            written(row.until),
            said(distance(today(self.context), row.until)),
            written(tuple(map(for_reading, row.on_hand))),
            row.lot.place,
            row.lot.supplier,
        )


def _fits(each: LotOnShelf, sought: Sequence[str]) -> bool:
    """Tell whether every word sought begins a word of what stands on the lot."""
    lot = each.lot
    numbers = (held.container.number for held in each.holdings)
    texts = (each.ingredient, lot.number, lot.supplier, lot.maker, lot.place, *numbers)
    own = [word for text in texts for word in folded_words(text)]
    return all(any(word.startswith(wanted) for word in own) for wanted in sought)
