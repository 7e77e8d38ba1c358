"""The planned lines, each with its working below it; ``=`` opens and closes that."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QResizeEvent
from PySide6.QtWidgets import QHeaderView, QTreeWidget, QTreeWidgetItem

from ui import theme
from ui.context import Context
from ui.register.frozen_plan import FrozenLine
from ui.widgets.column_widths import content_width, fit_columns
from ui.widgets.words import action, set_role

_COLUMNS = ("ingredient", "as_written", "required", "to_measure", "tolerance", "instrument")
_LEAST_NAME, _WIDEST = 220, 300
"""An ingredient's name has at least so much, and another column at most; both wrap."""
_GIVEN_UP = (5, 4, 1)
LEAST_HEIGHT = 200


class PlanTree(QTreeWidget):
    """Shows the lines of a frozen plan."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.setAccessibleName(context.text("ui_register.plan.name"))
        self.setColumnCount(len(_COLUMNS))
        self.setHeaderLabels([context.text(f"ui_register.plan.{each}") for each in _COLUMNS])
        self.setTabKeyNavigation(False)
        set_role(self, "sheet")
        self.setUniformRowHeights(False)
        self.setWordWrap(True)
        header = self.header()
        header.setStretchLastSection(False)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        header.setMinimumSectionSize(theme.px(24))
        self.setMinimumHeight(theme.px(LEAST_HEIGHT))
        self.working = action(self, context.text("ui_register.plan.working"), "=", self._toggle)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave out what the working says as well, as far as the width asks for it."""
        super().resizeEvent(event)
        self._fit()

    def show_lines(self, lines: tuple[FrozenLine, ...]) -> None:
        """Show these lines, their working closed."""
        self.clear()
        for line in lines:
            self._add(line)
        self.setCurrentIndex(self.model().index(0, 0))
        self._fit()

    def open_texts(self) -> tuple[str, ...]:
        """Return the working that is open."""
        model = self.model()
        tops = [model.index(row, 0) for row in range(model.rowCount())]
        return tuple(
            str(model.index(row, 0, top).data())
            for top in tops
            if self.isExpanded(top)
            for row in range(model.rowCount(top))
        )

    def _add(self, line: FrozenLine) -> None:
        texts = [
            line.ingredient,
            line.as_written,
            line.required,
            line.to_measure,
            line.tolerance,
            line.instrument,
        ]
        item = QTreeWidgetItem(self, texts)
        for column in range(1, 5):
            item.setTextAlignment(column, _RIGHT)
        for step in (*line.working, *line.findings):
            below = QTreeWidgetItem(item, [step])
            below.setFirstColumnSpanned(True)
            below.setForeground(0, QColor(theme.colours().quiet))

    def _fit(self) -> None:
        """Give each column what its content takes."""
        others = range(1, len(_COLUMNS))
        widths = {each: min(content_width(self, each), theme.px(_WIDEST)) for each in others}
        fit_columns(self, {0: theme.px(_LEAST_NAME), **widths}, _GIVEN_UP)

    def _toggle(self) -> None:
        item = self.currentItem()
        if item is None:
            return
        top = item.parent() or item
        top.setExpanded(not top.isExpanded())
        self.setCurrentItem(top)


_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
