"""The page *Stock*: lots as a list, one lot with its containers, a delivery, counted goods."""

from __future__ import annotations

from PySide6.QtWidgets import QStackedLayout, QWidget

from formulary.desk import Desk
from formulary.errors import FormularyError
from formulary.verbs.list_stock import Stock, list_stock
from formulary.verbs.take_over_tables import LOTS
from ui.context import Context, Topic
from ui.stock.controlled import Controlled
from ui.stock.details import LotDetails
from ui.stock.goods import Goods
from ui.stock.listing import Listing
from ui.stock.reading import LotSeen, lot_of_container, read_lot
from ui.stock.recalls import Recalls
from ui.stock.receive_form import ReceiveForm
from ui.tables.table_panel import TablePanel

_LISTING, _DETAILS, _RECEIVE, _GOODS, _RECALLS, _CONTROLLED, _TABLE = range(7)


class StockPage(QWidget):
    """Shows what is on the shelf; each act on it is recorded."""

    help_page = "stock"

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._lot_id = ""
        self._handed_over = False
        self.listing = Listing(context)
        self.details = LotDetails(context)
        self.receive = ReceiveForm(context)
        self.goods = Goods(context)
        self.recalls = Recalls(context)
        self.controlled = Controlled(context)
        self.table = TablePanel(context, LOTS, "lots", Topic.STOCK)
        self._stack = QStackedLayout(self)
        for part in self._parts():
            self._stack.addWidget(part)
        self._connect()

    def _parts(self) -> tuple[QWidget, ...]:
        return (
            self.listing,
            self.details,
            self.receive,
            self.goods,
            self.recalls,
            self.controlled,
            self.table,
        )

    def take(self, subject: object) -> None:
        """Show the lot with an id, or the one whose container has that number."""
        if isinstance(subject, str):
            self._handed_over = True
            self._context.do(
                lambda desk: lot_of_container(desk, subject),
                self.open_lot,
                failed=lambda error: self._open_by_id(subject, error),
                lane="stock.details",
            )

    def record_in_view(self) -> str:
        """Return the number of the lot in view, in the list that of the row come to."""
        if self._stack.currentWidget() is self.listing:
            return self.listing.table.current_number()
        return self.details.lot_number if self._stack.currentIndex() == _DETAILS else ""

    def shown(self) -> None:
        """Show the list, asked for anew, unless a lot was handed over."""
        self._ask()
        if not self._handed_over and self._stack.currentIndex() != _RECEIVE:
            self._show_list()
        self._handed_over = False

    def open_lot(self, lot_id: str) -> None:
        """Show the details of a lot."""
        self._lot_id = lot_id
        self._context.do(
            lambda desk: read_lot(desk, lot_id), self._show_details, lane="stock.details"
        )

    def _connect(self) -> None:
        self.listing.opened.connect(self.open_lot)
        self.listing.receiving.connect(self._receive)
        self.listing.goods_wanted.connect(self._show_goods)
        self.listing.recalls_wanted.connect(self._show_recalls)
        self.listing.controlled_wanted.connect(self._show_controlled)
        self.listing.table_wanted.connect(self._show_table)
        self.table.left.connect(self._show_list)
        self.recalls.left.connect(self._show_list)
        self.controlled.left.connect(self._show_list)
        self.details.left.connect(self._show_list)
        self.details.recalled.connect(self._show_recalls)
        self.details.changed.connect(lambda: self.open_lot(self._lot_id))
        self.receive.left.connect(self._show_list)
        self.receive.received.connect(self.open_lot)
        self.goods.left.connect(self._show_list)
        self._context.changed.connect(self._changed)

    def _open_by_id(self, subject: str, error: FormularyError) -> None:
        """Open what isn't a container's number as a lot's id; say so where it is neither."""
        self._lot_id = subject
        self._context.do(
            lambda desk: read_lot(desk, subject),
            self._show_details,
            failed=lambda _: self._context.say.refuse(error),
            lane="stock.details",
        )

    def _changed(self, topic: str) -> None:
        if topic == Topic.STOCK.value:
            self._ask()

    def _ask(self) -> None:
        self._context.do(_stock, self._arrived, lane="stock.list")

    def _arrived(self, stock: Stock) -> None:
        self.listing.show_stock(stock)
        self.goods.show_goods(stock.goods)

    def _show_list(self) -> None:
        self._stack.setCurrentIndex(_LISTING)
        self.listing.take_focus()

    def _show_details(self, seen: LotSeen) -> None:
        self._stack.setCurrentIndex(_DETAILS)
        self.details.show_lot(seen)

    def _receive(self) -> None:
        self._stack.setCurrentIndex(_RECEIVE)
        self.receive.begin()

    def _show_goods(self) -> None:
        self._stack.setCurrentIndex(_GOODS)
        self.goods.take_focus()

    def _show_recalls(self) -> None:
        self._stack.setCurrentIndex(_RECALLS)
        self.recalls.begin()

    def _show_controlled(self) -> None:
        self._stack.setCurrentIndex(_CONTROLLED)
        self.controlled.begin()

    def _show_table(self) -> None:
        self._stack.setCurrentIndex(_TABLE)
        self.table.begin()


def _stock(desk: Desk) -> Stock:
    return list_stock(desk.store, desk.today)
