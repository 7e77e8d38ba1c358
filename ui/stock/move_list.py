"""What went into a lot's containers and out of them, newest first."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTreeWidgetItem

from formulary.messages import message
from formulary.stock.shelf import for_reading
from ui import theme
from ui.context import Context
from ui.stock.fitted_tree import FittedTree
from ui.stock.reading import Line

_COLUMNS = ("at", "number", "cause", "amount", "after", "person", "reason")
_FIGURES = (3, 4)
_GIVEN_UP = (5, 4, 1, 6)
LEAST_HEIGHT = 180


class MoveList(FittedTree):
    """Shows moves, to be read only."""

    def __init__(self, context: Context) -> None:
        names = [context.text(f"ui_stock.move.{each}") for each in _COLUMNS]
        super().__init__(context.text("ui_stock.moves"), names, _GIVEN_UP)
        self._context = context
        self.setRootIsDecorated(False)
        self.setMinimumHeight(theme.px(LEAST_HEIGHT))

    def show_lines(self, lines: Sequence[Line]) -> None:
        """Show these moves and no others."""
        self.clear()
        for line in lines:
            item = QTreeWidgetItem(self, list(self._texts(line)))
            for column in _FIGURES:
                item.setTextAlignment(
                    column, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                )
        self.fit()

    def _texts(self, line: Line) -> tuple[str, ...]:
        written, move = self._context.catalogue.written, line.move
        reason = move.reason
        if move.preparation_lot:
            reason = self._context.text("ui_stock.move.for_lot", lot=move.preparation_lot)
        return (
            written(move.at),
            line.number,
            self._context.said(message(f"stock.cause.{move.cause.value}")),
            written(for_reading(move.amount)),
            written(for_reading(line.after)),
            move.person,
            reason,
        )
