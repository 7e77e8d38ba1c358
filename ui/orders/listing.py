"""The list of orders: what waits, those that are open or at their end, and the table."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.orders.standing import Standing
from formulary.verbs.look_up_order import OrderSeen
from ui import theme
from ui.context import Context
from ui.forms.leaf import leaf
from ui.forms.signed_text import SignedText
from ui.orders.order_model import AREA, OrderModel
from ui.orders.order_table import OrderTable
from ui.signs import Sign
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

LEAST_HEIGHT, CHOICE_WIDTH = 240, 320
ENDED = (Standing.HANDED_OVER, Standing.CANCELLED)
OPEN, AT_END = "open", "ended"
"""What the chooser offers beside single standings."""


class Listing(QWidget):
    """Shows orders; ``opened`` tells the id of the one to open, ``taking`` that a new one comes.

    ``asked_for`` tells that orders at their end are wanted, or the open ones again,
    ``made_up_wanted`` that products made up by their label are.
    """

    opened = Signal(str)
    taking = Signal()
    made_up_wanted = Signal()
    asked_for = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._all: tuple[OrderSeen, ...] = ()
        text = context.text
        self.waiting = SignedText(context, Sign.TRIANGLE, "thought", worded=False)
        self.choice = ChoiceBox(text(f"{AREA}.show"))
        self.choice.setMaximumWidth(theme.px(CHOICE_WIDTH))
        self.choice.fill(self._choices())
        self.model = OrderModel(context, self)
        self.table = OrderTable(text(f"{AREA}.name"), self.model)
        self.nothing = label(role="quiet")
        self.take = action(self, text(f"{AREA}.take"), "Ctrl+N", self.taking.emit)
        self.made_up = action(
            self, text(f"{AREA}.made_up.name"), "Ctrl+M", self.made_up_wanted.emit
        )
        self._lay_out()
        self._connect()

    @property
    def wants_ended(self) -> bool:
        """Whether orders at their end are wanted."""
        return str(self.choice.currentData()) == AT_END

    def show_orders(self, orders: Sequence[OrderSeen]) -> None:
        """Show these orders, at the one that was come to before."""
        self._all = tuple(orders)
        waiting = [each.order.number for each in orders if each.standing is Standing.WAITING]
        said = self._context.text(f"{AREA}.waiting", n=len(waiting), numbers=tuple(waiting))
        self.waiting.say([said] if waiting else [])
        self._narrow()

    def take_focus(self) -> None:
        """Begin with the table, or with what brings something into it."""
        first: QWidget = self.table if self.model.rowCount() else self.take_button
        first.setFocus(Qt.FocusReason.OtherFocusReason)

    def _choices(self) -> list[tuple[str, object]]:
        text = self._context.text
        single = [each for each in Standing if each not in ENDED]
        return [
            (text(f"{AREA}.all_open"), OPEN),
            *((text(f"orders.standing.{each.value}"), each.value) for each in single),
            (text(f"{AREA}.all_ended"), AT_END),
        ]

    def _lay_out(self) -> None:
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside))
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        row = FlowLayout()
        self.take_button = button(self.take, accent=True)
        row.addWidget(self.take_button)
        row.addWidget(button(self.made_up))
        for part in (self.choice, self.waiting, self.nothing):
            box.addWidget(part)
        box.addWidget(self.table, 1)
        self._end = QWidget()
        box.addWidget(self._end, 1)
        box.addLayout(row)
        self.table.setMinimumHeight(theme.px(LEAST_HEIGHT))
        self.nothing.hide()
        self._end.hide()

    def _connect(self) -> None:
        text = self._context.text
        action(self.table, text(f"{AREA}.open"), "Return|Enter", self._open_current)
        self.table.doubleClicked.connect(lambda _: self._open_current())
        self.choice.currentIndexChanged.connect(lambda _: self.asked_for.emit())

    def _narrow(self) -> None:
        before = self.table.current_order()
        wanted = self.choice.currentData()
        shown = [
            each for each in self._all if wanted in (OPEN, AT_END) or each.standing.value == wanted
        ]
        self.model.show_rows(shown)
        self.nothing.setText(self._context.text(f"{AREA}.{'none' if self._all else 'nothing'}"))
        for widget, is_there in (
            (self.nothing, not shown),
            (self.table, bool(shown)),
            (self._end, not shown),
        ):
            widget.setVisible(is_there)
        if shown:
            self.table.make_current(max(0, self.model.row_of(before)))

    def _open_current(self) -> None:
        order_id = self.table.current_order()
        if order_id:
            self.opened.emit(order_id)
