"""A lot's containers as a list, each with the sign of whether it may be used."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QTreeWidgetItem

from formulary.stock.shelf import Holding
from ui import signs, theme
from ui.context import Context
from ui.stock.container_rows import COLUMNS, container_texts, obstacle_of
from ui.stock.fitted_tree import FittedTree

_GIVEN_UP = (5, 3, 4)
"""The place goes first, then the day of opening and the identity check: the label has them."""
MOST_ROWS = 8


class ContainerList(FittedTree):
    """Shows containers, to choose one."""

    def __init__(self, context: Context) -> None:
        names = [context.text(f"ui_stock.container.{each}") for each in COLUMNS]
        super().__init__(context.text("ui_stock.containers"), names, _GIVEN_UP)
        self._context = context
        self._holdings: tuple[Holding, ...] = ()
        self.setRootIsDecorated(False)

    def show_holdings(self, holdings: Sequence[Holding], wanted: str) -> None:
        """Show these containers and come to the one with an id, else to the first."""
        self._holdings = tuple(holdings)
        self.blockSignals(True)
        self.clear()
        chosen = 0
        for row, held in enumerate(holdings):
            self._add(held)
            chosen = row if held.container.id == wanted else chosen
        self.fit()
        rows = min(len(holdings), MOST_ROWS)
        header = self.header().sizeHint().height()
        self.setFixedHeight(header + rows * self.sizeHintForRow(0) + theme.px(12))
        self.blockSignals(False)
        self.setCurrentIndex(self.model().index(chosen, 0))

    def current(self) -> Holding | None:
        """Return the container come to, None where there is none."""
        row = self.currentIndex().row()
        return self._holdings[row] if 0 <= row < len(self._holdings) else None

    def _add(self, held: Holding) -> None:
        item = QTreeWidgetItem(self, list(container_texts(self._context, held)))
        item.setTextAlignment(1, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        usable = obstacle_of(self._context, held) is None
        item.setIcon(0, signs.icon(signs.Sign.TICK if usable else signs.Sign.OCTAGON))
        if held.container.emptied_on is not None:
            item.setIcon(0, signs.icon(signs.Sign.DOT))
            for column in range(len(COLUMNS)):
                item.setForeground(column, QColor(theme.colours().quiet))
