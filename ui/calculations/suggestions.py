"""Names proposed while one types the last entry of a list, whatever its capitals and spaces."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QCompleter

from ui.calculations.units import SEPARATOR

_SOUGHT = int(Qt.ItemDataRole.UserRole)


class Suggestions(QCompleter):
    """Completes the last entry of a list parted by semicolons, by any part of a name."""

    def __init__(self, names: Sequence[str], parent: QObject) -> None:
        model = QStandardItemModel()
        for name in names:
            item = QStandardItem(name)
            item.setData(_sought(name), _SOUGHT)
            model.appendRow(item)
        super().__init__(model, parent)
        model.setParent(self)
        self._before = ""
        self.setCompletionRole(_SOUGHT)
        self.setFilterMode(Qt.MatchFlag.MatchContains)

    @property
    def choosing(self) -> bool:
        """Whether a proposed name is come to, which Enter then takes up."""
        popup = self.popup()
        return popup is not None and popup.isVisible() and popup.currentIndex().isValid()

    def splitPath(self, path: str) -> list[str]:
        """Return what to look for: the last entry, folded as the names are."""
        before, parted, last = path.rpartition(SEPARATOR)
        self._before = f"{before}{parted} " if parted else ""
        return [_sought(last)]

    def pathFromIndex(self, index: QModelIndex | QPersistentModelIndex) -> str:
        """Return the whole text with the chosen name at its end."""
        return f"{self._before}{index.data(Qt.ItemDataRole.DisplayRole)}"


def _sought(text: str) -> str:
    return "".join(text.casefold().split())
