"""The reference tables to browse: one at a time, with every row's source."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QVBoxLayout, QWidget

from formulary.calculating.tables import document
from ui import theme
from ui.calculations.entries import table_names
from ui.calculations.table_model import DOUBT, SOURCE, TableModel
from ui.context import Context
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.words import label, set_role, spaced

AREA = "ui_calculations.tables"
SOURCE_WIDTH, MOST_WIDTH, PADDING = 200, 220, 28


class TablesView(QWidget):
    """A chooser over a table that can't be changed."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.chooser = ChoiceBox(context.text(f"{AREA}.choose"))
        self.about = label(role="quiet")
        self.model = TableModel(context, self)
        self.table = QTableView()
        self.table.setAccessibleName(context.text(f"{AREA}.name"))
        self.table.setModel(self.model)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setTabKeyNavigation(False)
        self.table.setWordWrap(True)
        self.table.setHorizontalScrollMode(QTableView.ScrollMode.ScrollPerPixel)
        self.table.verticalHeader().hide()
        by_contents = QHeaderView.ResizeMode.ResizeToContents
        self.table.verticalHeader().setSectionResizeMode(by_contents)
        header = self.table.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap)
        header.setFixedHeight(self.table.fontMetrics().lineSpacing() * 2 + theme.px(12))
        header.setStretchLastSection(True)
        set_role(self.table, "sheet")
        self._lay_out()
        self.chooser.currentIndexChanged.connect(lambda _: self._show())
        self.setFocusProxy(self.chooser)

    def show_tables(self) -> None:
        """Show the table chosen, the first one at first."""
        if not self.model.columns:
            self.chooser.fill([(str(document(name)["title"]), name) for name in table_names()])
            self._show()

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        spaced(box, inside=12, around=24)
        box.addWidget(label(self._context.text(f"{AREA}.title"), "title"))
        box.addWidget(self.chooser)
        box.addWidget(self.about)
        box.addWidget(self.table, 1)
        self.chooser.setMaximumWidth(theme.px(560))

    def _show(self) -> None:
        name = str(self.chooser.currentData())
        self.model.show_table(name)
        self.about.setText(str(document(name).get("about", "")))
        self._fit_columns()

    def _fit_columns(self) -> None:
        """Make columns as wide as their figures; rows follow what then wraps."""
        for place, column in enumerate(self.model.columns):
            least = SOURCE_WIDTH if column == SOURCE else 0
            width = max(theme.px(least), min(self._width(place), theme.px(MOST_WIDTH)))
            self.table.setColumnWidth(place, width)
            self.table.setColumnHidden(place, column == DOUBT and not self.model.has_doubts)

    def _width(self, place: int) -> int:
        """Return the width of a column's texts; its name may take two lines."""
        metrics = self.table.fontMetrics()
        rows = range(self.model.rowCount())
        name = str(self.model.headerData(place, Qt.Orientation.Horizontal))
        texts = [str(self.model.index(row, place).data()) for row in rows] + name.split()
        widest = max(metrics.horizontalAdvance(each) for each in texts)
        return max(widest, metrics.horizontalAdvance(name) * 2 // 3) + theme.px(PADDING)
