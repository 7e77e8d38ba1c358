"""The lots on the shelf as a model; all of them are here, narrowed by words and by standing."""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QColor

from formulary.messages import message
from formulary.records.folding import folded_words, sought_words
from formulary.stock.listing import STOPS, LotOnShelf, Standing
from ui import signs, theme
from ui.context import Context
from ui.forms.days import distance, today

Index = QModelIndex | QPersistentModelIndex


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


class StockModel(QAbstractTableModel):
    """Rows of lots."""

    def __init__(self, context: Context, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self._all: tuple[LotOnShelf, ...] = ()
        self._rows: list[LotOnShelf] = []
        self._texts: list[tuple[str, ...]] = []

    def show_lots(self, lots: Sequence[LotOnShelf]) -> None:
        """Take the lots there are; :meth:`narrow` says which show."""
        self._all = tuple(lots)

    def narrow(self, words: str, standing: Standing | None) -> None:
        """Show the lots in which every word begins a word, of one standing if one is named."""
        sought = sought_words(words)
        self.beginResetModel()
        self._rows = [
            each for each in self._all if standing in (None, each.standing) and _fits(each, sought)
        ]
        self._texts = [self._written(each) for each in self._rows]
        self.endResetModel()

    def row(self, number: int) -> LotOnShelf | None:
        """Return a row, None past the end."""
        return self._rows[number] if 0 <= number < len(self._rows) else None

    def row_of(self, lot_id: str) -> int:
        """Return the number of a lot's row, -1 if it isn't listed."""
        ids = [each.lot.id for each in self._rows]
        return ids.index(lot_id) if lot_id in ids else -1

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Return how many rows are here; a row has none below it."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(Column)

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        """Return a column's heading."""
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _alignment(Column(section))
        if role == Qt.ItemDataRole.DisplayRole:
            return self._context.text(f"ui_stock.column.{Column(section).name.lower()}")
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a cell shows; a standing has its sign and its ink."""
        if not 0 <= index.row() < len(self._texts):
            return None
        column = Column(index.column())
        text = self._texts[index.row()][column]
        match role:
            case Qt.ItemDataRole.DisplayRole | Qt.ItemDataRole.ToolTipRole:
                shown: object = text
            case Qt.ItemDataRole.TextAlignmentRole:
                shown = _alignment(column)
            case Qt.ItemDataRole.ForegroundRole:
                shown = self._ink(index.row(), column)
            case Qt.ItemDataRole.DecorationRole if column is Column.STANDING:
                shown = signs.icon(sign_of(self._rows[index.row()].standing))
            case Qt.ItemDataRole.AccessibleTextRole:
                shown = f"{self.headerData(column, Qt.Orientation.Horizontal)}: {text}"
            case _:
                shown = None
        return shown

    def _ink(self, row: int, column: Column) -> QColor | None:
        if column is Column.STANDING:
            return QColor(signs.colour_of(sign_of(self._rows[row].standing)))
        return QColor(theme.colours().quiet) if column in _QUIET else None

    def _written(self, each: LotOnShelf) -> tuple[str, ...]:
        """Return what the cells of a row say, in the order of the columns."""
        written, said = self._context.catalogue.written, self._context.said
        return (
            each.ingredient,
            each.lot.number,
            said(message(f"stock.standing.{each.standing.value}")),
            written(each.until),
            said(distance(today(self._context), each.until)),
            written(each.on_hand),
            each.lot.place,
            each.lot.supplier,
        )


def _fits(each: LotOnShelf, sought: Sequence[str]) -> bool:
    """Tell whether every word sought begins a word of what stands on the lot."""
    lot = each.lot
    numbers = (held.container.number for held in each.holdings)
    texts = (each.ingredient, lot.number, lot.supplier, lot.maker, lot.place, *numbers)
    own = [word for text in texts for word in folded_words(text)]
    return all(any(word.startswith(wanted) for word in own) for wanted in sought)


def _alignment(column: Column) -> Qt.AlignmentFlag:
    right = column is Column.ON_HAND
    across = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
    return across | Qt.AlignmentFlag.AlignVCenter
