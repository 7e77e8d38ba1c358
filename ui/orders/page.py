"""The page *Orders*: the list, one order, its form, its prescription line by line, its check."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QStackedLayout, QWidget

from formulary.desk import Desk
from formulary.orders.order import OrderState
from formulary.verbs.look_up_order import OrderSeen, order_with, orders_in, seen
from ui.context import Context, Topic
from ui.orders.check_form import CheckForm
from ui.orders.details import OrderDetails
from ui.orders.listing import Listing
from ui.orders.made_up import MadeUpList
from ui.orders.order_form import OrderForm
from ui.orders.prescription_panel import PrescriptionPanel

_OPEN = (OrderState.RECEIVED, OrderState.IN_WORK)
_ENDED = (OrderState.HANDED_OVER, OrderState.CANCELLED)


class OrdersPage(QWidget):
    """Shows orders without their patients; looking at one is put on record."""

    help_page = "orders"

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._order_id = ""
        self._compose_next = False
        self._comes_to_list = False
        self.listing = Listing(context)
        self.details = OrderDetails(context)
        self.form = OrderForm(context)
        self.reading = PrescriptionPanel(context)
        self.check = CheckForm(context)
        self.made_up = MadeUpList(context)
        self._stack = QStackedLayout(self)
        for part in (self.listing, self.details, self.form, self.reading, self.check, self.made_up):
            self._stack.addWidget(part)
        self._connect()

    def take(self, subject: object) -> None:
        """Show the order with an id."""
        if isinstance(subject, str):
            self.open_order(subject)

    def shown(self) -> None:
        """Ask for the list anew; what was open stays open."""
        self._comes_to_list = self._stack.currentWidget() is self.listing
        self._ask()

    def record_in_view(self) -> str:
        """Return the number of the order in view, in the list that of the row come to."""
        if self._stack.currentWidget() is self.listing:
            return self.listing.table.current_number()
        return self.details.number

    def keep_draft(self) -> None:
        """Keep what was typed for a new order."""
        self.form.keep_draft()

    def open_order(self, order_id: str) -> None:
        """Show the details of an order."""
        self._order_id = order_id
        self._context.do(lambda desk: _seen(desk, order_id), self._opened, lane="orders.details")

    def _connect(self) -> None:
        self.listing.opened.connect(self.open_order)
        self.listing.taking.connect(self._take)
        self.listing.asked_for.connect(self._ask)
        self.listing.made_up_wanted.connect(self._show_made_up)
        self.made_up.left.connect(self._show_list)
        self.details.left.connect(self._show_list)
        self.details.changed.connect(self._again)
        self.details.changing.connect(self._change)
        self.details.composing.connect(self._compose)
        self.details.checking.connect(self._check)
        self.form.kept.connect(self._kept)
        self.form.left.connect(self._back)
        self.reading.composed.connect(self.open_order)
        self.reading.left.connect(self._again)
        self.check.signed.connect(self.open_order)
        self.check.left.connect(self._again)
        self._context.changed.connect(self._changed)
        self._context.seated.connect(self._seated)

    def _seated(self) -> None:
        """Put patients' data out of view when nobody is signed in any more."""
        if self._context.signed_in:
            return
        self.details.hide_people()
        if self._stack.currentWidget() is self.form:
            self.form.leave()
        elif self._stack.currentWidget() is self.check:
            self._again()

    def _ask(self) -> None:
        states = _ENDED if self.listing.wants_ended else _OPEN
        self._context.do(
            lambda desk: orders_in(desk.store, *states), self._arrived, lane="orders.list"
        )

    def _arrived(self, orders: Sequence[OrderSeen]) -> None:
        self.listing.show_orders(orders)
        if self._comes_to_list:
            self._comes_to_list = False
            self.listing.take_focus()

    def _changed(self, topic: str) -> None:
        if topic not in (Topic.ORDERS.value, Topic.PREPARATIONS.value):
            return
        self._ask()
        if self._stack.currentWidget() is self.details and topic == Topic.PREPARATIONS.value:
            self._again()

    def _opened(self, found: OrderSeen) -> None:
        if self._compose_next:
            self._compose_next = False
            self._compose(found)
            return
        self._stack.setCurrentWidget(self.details)
        self.details.show_order(found)

    def _show_list(self) -> None:
        self._order_id = ""
        self._stack.setCurrentWidget(self.listing)
        self.listing.take_focus()

    def _show_made_up(self) -> None:
        self._stack.setCurrentWidget(self.made_up)
        self.made_up.begin()

    def _again(self) -> None:
        if self._order_id:
            self.open_order(self._order_id)

    def _back(self) -> None:
        """Step back out of the form: to the order that was changed, or to the list."""
        if self._order_id:
            self._again()
        else:
            self._show_list()

    def _take(self) -> None:
        self._context.when_signed_in(self._take_signed_in)

    def _take_signed_in(self) -> None:
        self._order_id = ""
        self._stack.setCurrentWidget(self.form)
        self.form.begin_new()

    def _change(self, found: OrderSeen) -> None:
        self._stack.setCurrentWidget(self.form)
        self.form.begin_change(found)

    def _kept(self, order_id: str, to_read: bool) -> None:  # noqa: FBT001  a signal's own
        self._compose_next = to_read
        self.open_order(order_id)

    def _compose(self, found: OrderSeen) -> None:
        self._stack.setCurrentWidget(self.reading)
        self.reading.begin(found)

    def _check(self, found: OrderSeen) -> None:
        self._stack.setCurrentWidget(self.check)
        self.check.begin(found)


def _seen(desk: Desk, order_id: str) -> OrderSeen:
    return seen(desk.store, order_with(desk.store, order_id), with_notes=True)
