"""The index as a model: each row a formula with how it is kept; more come as one scrolls."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from enum import IntEnum

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)

from formulary.formula.keeping import shelf_life_said, storage_said
from formulary.formula.version import State
from formulary.messages import Message
from formulary.quantity.writing import held_together
from ui.context import Context
from ui.formulas.reading import PAGE, Entry

Index = QModelIndex | QPersistentModelIndex


class Role(IntEnum):
    """What a row has beyond its title."""

    KEEPING = Qt.ItemDataRole.UserRole + 1
    MARK = Qt.ItemDataRole.UserRole + 2


class IndexModel(QAbstractListModel):
    """Rows of the formulas found; asks for the next page by ``more_wanted``."""

    more_wanted = Signal(int)

    def __init__(self, context: Context, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self._entries: list[Entry] = []
        self._otherwise: dict[str, Message] = {}
        self._hits = 0
        self._complete = True
        self._tellers: dict[int, Callable[[Entry], str]] = {
            Qt.ItemDataRole.DisplayRole: self._title,
            Qt.ItemDataRole.AccessibleTextRole: self._spoken,
            Qt.ItemDataRole.ToolTipRole: self._spoken,
            Role.KEEPING: self._keeping,
            Role.MARK: self._mark,
        }

    def show_entries(self, entries: Sequence[Entry]) -> None:
        """Show the first page of an answer."""
        self.beginResetModel()
        self._entries = []
        self._hits = 0
        self._take(entries)
        self.endResetModel()

    def add_entries(self, entries: Sequence[Entry]) -> None:
        """Add a further page."""
        if entries:
            first = len(self._entries)
            self.beginInsertRows(QModelIndex(), first, first + len(entries) - 1)
            self._take(entries)
            self.endInsertRows()
        self._complete = len(entries) < PAGE

    def show_lasting(self, otherwise: Mapping[str, Message]) -> None:
        """Say of these formulas otherwise than by their own period how long they last."""
        if any(self._otherwise.get(each) != said for each, said in otherwise.items()):
            self._otherwise.update(otherwise)
            self.dataChanged.emit(self.index(0, 0), self.index(len(self._entries) - 1, 0))

    def forget_lasting(self) -> None:
        """Take back what was said of how long formulas last: something changed."""
        self._otherwise.clear()

    def entry(self, row: int) -> Entry | None:
        """Return the entry of a row, None past the end."""
        return self._entries[row] if 0 <= row < len(self._entries) else None

    def row_of(self, formula_id: str) -> int:
        """Return the row of a formula, -1 if it isn't listed."""
        ids = [each.formula_id for each in self._entries]
        return ids.index(formula_id) if formula_id in ids else -1

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Return how many rows there are; a row has none below it."""
        return 0 if parent.isValid() else len(self._entries)

    def canFetchMore(self, parent: Index) -> bool:
        """Whether the store may have more."""
        return not parent.isValid() and not self._complete

    def fetchMore(self, parent: Index) -> None:
        """Ask for the next page; it comes later."""
        self._complete = True
        self.more_wanted.emit(self._hits)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a row shows."""
        entry = self.entry(index.row())
        if entry is None:
            return None
        tell = self._tellers.get(role)
        return tell(entry) if tell is not None else None

    def _take(self, entries: Sequence[Entry]) -> None:
        self._entries.extend(entries)
        hits = sum(each.hit is not None for each in entries)
        self._hits += hits
        self._complete = hits < PAGE

    def _title(self, entry: Entry) -> str:
        return held_together(entry.title) or self._context.text("ui_formulas.index.untitled")

    def _spoken(self, entry: Entry) -> str:
        parts = (self._title(entry), entry.code, self._mark(entry), self._keeping(entry))
        return ". ".join(each for each in parts if each)

    def _keeping(self, entry: Entry) -> str:
        if entry.hit is None:
            return ""
        said = self._context.said
        kept = ", ".join(said(each) for each in storage_said(entry.hit.storage))
        otherwise = self._otherwise.get(entry.formula_id)
        return f"{kept}; {said(otherwise or shelf_life_said(entry.hit.shelf_life))}"

    def _mark(self, entry: Entry) -> str:
        if entry.unconfirmed:
            return self._context.text("ui_formulas.index.unconfirmed")
        if entry.due is not None:
            return self._context.text("ui_formulas.index.due", due=entry.due)
        if entry.state is None or entry.state is State.IN_USE:
            return ""
        return self._context.text(f"formula.state.{entry.state.name.lower()}")
