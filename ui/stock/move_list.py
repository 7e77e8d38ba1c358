"""What went into a lot's containers and out of them, newest first."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTreeWidget, QTreeWidgetItem

from formulary.messages import message
from ui import theme
from ui.context import Context
from ui.stock.reading import Line
from ui.widgets.words import set_role

_COLUMNS = ("at", "number", "cause", "amount", "after", "person", "reason")
_FIGURES = (3, 4)
LEAST_HEIGHT = 180


class MoveList(QTreeWidget):
    """Shows moves, to be read only."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.setAccessibleName(context.text("ui_stock.moves"))
        self.setColumnCount(len(_COLUMNS))
        self.setHeaderLabels([context.text(f"ui_stock.move.{each}") for each in _COLUMNS])
        self.setRootIsDecorated(False)
        self.setTabKeyNavigation(False)
        self.setUniformRowHeights(True)
        self.setMinimumHeight(theme.px(LEAST_HEIGHT))
        set_role(self, "sheet")

    def show_lines(self, lines: Sequence[Line]) -> None:
        """Show these moves and no others."""
        self.clear()
        for line in lines:
            item = QTreeWidgetItem(self, list(self._texts(line)))
            for column in _FIGURES:
                item.setTextAlignment(
                    column, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                )
        for column in range(len(_COLUMNS) - 1):
            self.resizeColumnToContents(column)

    def _texts(self, line: Line) -> tuple[str, ...]:
        written, move = self._context.catalogue.written, line.move
        reason = move.reason
        if move.preparation_lot:
            reason = self._context.text("ui_stock.move.for_lot", lot=move.preparation_lot)
        return (
            written(move.at),
            line.number,
            self._context.said(message(f"stock.cause.{move.cause.value}")),
            written(move.amount),
            written(line.after),
            move.person,
            reason,
        )
