"""The list of lots: a search, what needs thought, what is low, and the table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from formulary.stock.listing import counts
from formulary.verbs.list_stock import Stock
from ui import theme
from ui.context import Context
from ui.forms.days import today
from ui.forms.leaf import leaf
from ui.forms.signed_text import SignedText
from ui.papers.paper_file import save_paper
from ui.signs import Sign
from ui.stock.alerts import Alerts
from ui.stock.stock_model import StockModel
from ui.stock.stock_table import StockTable
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

if TYPE_CHECKING:
    from formulary.desk import Desk
    from formulary.papers.every_paper import Paper

LEAST_HEIGHT = 240


class Listing(QWidget):
    """Shows the stock; ``opened`` tells the id of the lot to open, the others which act is next."""

    opened = Signal(str)
    receiving = Signal()
    goods_wanted = Signal()
    recalls_wanted = Signal()
    controlled_wanted = Signal()
    table_wanted = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        text = context.text
        self.search = QLineEdit()
        self.search.setAccessibleName(text("ui_stock.search"))
        self.search.setPlaceholderText(text("ui_stock.search_hint"))
        self.search.setClearButtonEnabled(True)
        self.search.setMaximumWidth(theme.px(480))
        self.alerts = Alerts(context)
        self.low = SignedText(context, Sign.TRIANGLE, "thought", worded=False)
        self.model = StockModel(context, self)
        self.table = StockTable(text("ui_stock.name"), self.model)
        self.nothing = label(role="quiet")
        self.receive = action(self, text("ui_stock.receive"), "Ctrl+N", self.receiving.emit)
        self.goods = action(self, text("ui_stock.goods"), "Ctrl+J", self.goods_wanted.emit)
        self.recalls = action(self, text("ui_stock.recalls"), "Ctrl+R", self.recalls_wanted.emit)
        self.controlled = action(
            self, text("ui_stock.controlled.name"), "Ctrl+E", self.controlled_wanted.emit
        )
        self.tables = action(self, text("ui_tables.read"), "Ctrl+O", self.table_wanted.emit)
        self.paper = action(self, text("ui_stock.paper"), "Ctrl+Shift+P", self._save_paper)
        self._lay_out()
        self._connect()

    def show_stock(self, stock: Stock) -> None:
        """Show what is on the shelf, at the lot that was come to before."""
        self.model.show_lots(stock.lots)
        self.alerts.show_counts(counts(stock.lots))
        self.low.say(self._low(stock))
        self._narrow()

    def take_focus(self) -> None:
        """Begin with the search."""
        self.search.setFocus()

    def _low(self, stock: Stock) -> list[str]:
        text = self._context.text
        parts = [
            text("ui_stock.low_of", name=name, held=each.usable, least=each.level.least)
            for name, each in stock.low
        ]
        parts += [
            text("ui_stock.low_goods", name=each.good.name, n=each.left, least=each.good.least)
            for each in stock.goods
            if each.is_low
        ]
        return [text("ui_stock.low", what="; ".join(parts))] if parts else []

    def _lay_out(self) -> None:
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside))
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        row = FlowLayout()
        self.receive_button = button(self.receive, accent=True)
        row.addWidget(self.receive_button)
        row.addWidget(button(self.goods))
        row.addWidget(button(self.recalls))
        row.addWidget(button(self.controlled))
        row.addWidget(button(self.tables))
        row.addWidget(button(self.paper))
        for part in (self.search, self.alerts, self.low, self.nothing):
            box.addWidget(part)
        box.addWidget(self.table, 1)
        self._end = QWidget()
        box.addWidget(self._end, 1)
        box.addLayout(row)
        self.table.setMinimumHeight(theme.px(LEAST_HEIGHT))
        self.nothing.hide()
        self._end.hide()

    def _save_paper(self) -> None:
        """Write the stock list of this moment."""

        def made(desk: Desk) -> Paper:
            from formulary.papers.every_paper import stock_now

            return stock_now(desk)

        proposed = f"stock-{today(self._context).isoformat()}"
        save_paper(self, self._context, self.paper.text(), proposed, made)

    def _connect(self) -> None:
        text = self._context.text
        action(self.table, text("ui_stock.open"), "Return|Enter", self._open_current)
        action(self.table, text("ui_stock.to_search"), "Esc", self.search.setFocus)
        action(self.search, text("ui_stock.into_list"), "Down", self._into_table)
        self.table.doubleClicked.connect(lambda _: self._open_current())
        self.search.textEdited.connect(lambda _: self._narrow())
        self.search.returnPressed.connect(self._entered)
        self.alerts.chosen.connect(self._narrow)

    def _narrow(self) -> None:
        before = self.table.current_lot()
        self.model.narrow(self.search.text(), self.alerts.standing)
        found = self.model.rowCount() > 0
        sought = bool(self.search.text().strip()) or self.alerts.standing is not None
        self.nothing.setText(
            self._context.text("ui_stock.not_found" if sought else "ui_stock.nothing")
        )
        self.nothing.setVisible(not found)
        self.table.setVisible(found)
        self._end.setVisible(not found)
        if found:
            self.table.make_current(max(0, self.model.row_of(before)))

    def _entered(self) -> None:
        """Open the only lot that is found, as a scan finds it, or go into the list."""
        if self.model.rowCount() == 1:
            self._open_current()
        else:
            self._into_table()

    def _into_table(self) -> None:
        if self.table.isVisible():
            self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def _open_current(self) -> None:
        lot_id = self.table.current_lot()
        if lot_id:
            self.opened.emit(lot_id)
