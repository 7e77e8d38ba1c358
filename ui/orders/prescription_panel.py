"""A prescription line by line: each confirmed by Enter, then composed as a one-off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QCheckBox, QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.ingredient import Ingredient
from formulary.messages import Message, message
from formulary.orders.order import Order
from formulary.prescription.composing import compose, prescribed_amount
from formulary.verbs.change_order import asked_of, change_order
from formulary.verbs.compose_one_off import compose_one_off
from formulary.verbs.look_up_order import OrderSeen
from formulary.verbs.read_prescription import Proposed, read_prescription
from ui.context import Context, Topic
from ui.forms.form import Form
from ui.forms.leaf import leaf
from ui.forms.signed_text import SignedText
from ui.orders import whole_form
from ui.orders.line_row import LineRow
from ui.orders.near_list import NearList
from ui.orders.order_model import AREA
from ui.signs import Sign
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, hairline, label, spaced

AS_READ, EACH_UNIT, THE_WHOLE = "as_read", "each_unit", "the_whole"
_DOSES = {AS_READ: None, EACH_UNIT: True, THE_WHOLE: False}
_ORDER_ASKS = "prescription.doubt.no_directions"
"""What the order itself waits for, so that nobody settles it here."""


@dataclass(frozen=True, slots=True)
class _Read:
    """A prescription as proposed, and the ingredients there are by name."""

    proposed: Proposed
    known: dict[str, str]


class PrescriptionPanel(QWidget):
    """Takes what a person confirms; ``composed`` tells the order's id, ``left`` a step back."""

    composed = Signal(str)
    left = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._seen: OrderSeen | None = None
        self._read: _Read | None = None
        text = context.text
        self.rows: list[LineRow] = []
        self.settled: list[tuple[QCheckBox, Message]] = []
        self.title = label(role="title")
        self.doses = ChoiceBox(text(f"{AREA}.doses"))
        self.doses.fill([(text(f"{AREA}.doses_{each}"), each) for each in _DOSES])
        self.near = NearList(context)
        self.form = Form(context, AREA, whole_form.fields(context))
        self._lines, self._doubts = QVBoxLayout(), QVBoxLayout()
        self.compose = action(self, text(f"{AREA}.compose"), "Ctrl+S", self._compose)
        self.back = action(self, text(f"{AREA}.back"), "Esc", self.left.emit)
        self._lay_out()
        self.doses.currentIndexChanged.connect(lambda _: self._ask())
        self.near.wanted.connect(self._use)

    def begin(self, seen: OrderSeen) -> None:
        """Read the prescription of an order."""
        self._seen = seen
        self.title.setText(self._context.text(f"{AREA}.reading", number=seen.order.number))
        self.doses.choose(AS_READ)
        self._ask()

    def _ask(self) -> None:
        seen, doses = self._seen, _DOSES[str(self.doses.currentData())]
        if seen is None:
            return
        written = seen.order.prescription

        def read(desk: Desk) -> _Read:
            known = {each.name: each.id for each in desk.store.every(Ingredient)}
            found = read_prescription(desk.store, desk.house, written, doses=doses)
            return _Read(found, known)

        self._context.do(read, self._arrived, lane="orders.prescription")

    def _lay_out(self) -> None:
        text = self._context.text
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        self._area = leaf(inside)
        whole.addWidget(self._area)
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        spaced(self._lines, inside=12)
        spaced(self._doubts, inside=4)
        box.addWidget(self.title)
        box.addWidget(label(text(f"{AREA}.reading_hint"), "note"))
        box.addWidget(self.doses)
        box.addLayout(self._lines)
        box.addLayout(self._doubts)
        box.addWidget(self.near)
        box.addWidget(hairline())
        box.addWidget(label(text(f"{AREA}.whole"), "heading"))
        box.addWidget(self.form)
        row = FlowLayout()
        keep = button(self.compose, accent=True)
        keep.setAutoDefault(True)
        row.addWidget(keep)
        row.addWidget(button(self.back))
        box.addLayout(row)
        box.addStretch(1)

    def _arrived(self, read: _Read) -> None:
        seen = self._seen
        if seen is None:
            return
        self._read = read
        prescription = read.proposed.prescription
        _empty(self._lines)
        _empty(self._doubts)
        self.rows = [
            LineRow(self._context, position, line, read.known)
            for position, line in enumerate(prescription.lines)
        ]
        for position, row in enumerate(self.rows):
            self._lines.addWidget(hairline())
            self._lines.addWidget(row)
            # Shown at once, since what isn't in view takes no focus.
            row.show()
            row.done.connect(lambda position=position: self._next_after(position))
        self._show_doubts(prescription.doubts)
        self.near.show_near(read.proposed.near)
        has_units = prescription.units is not None or self.doses.currentData() != AS_READ
        self.doses.setVisible(has_units)
        self.form.show_values(whole_form.proposed(self._context, read.proposed, seen))
        self._next_after(-1)

    def _show_doubts(self, doubts: Sequence[Message]) -> None:
        self.settled = []
        for doubt in doubts:
            said = SignedText(self._context, Sign.TRIANGLE, "thought", worded=False)
            self._doubts.addWidget(said)
            said.say([self._context.said(doubt)])
            if doubt.key != _ORDER_ASKS:
                box = QCheckBox(self._context.text(f"{AREA}.settled"))
                box.setAccessibleDescription(said.text())
                self._doubts.addWidget(box)
                self.settled.append((box, doubt))

    def _next_after(self, position: int) -> None:
        """Go on to the next line that waits, then to what is asked about the whole."""
        waiting = [row for row in self.rows[position + 1 :] if not row.is_confirmed]
        waiting = waiting or [row for row in self.rows if not row.is_confirmed]
        if waiting:
            waiting[0].take_focus()
            QTimer.singleShot(0, self, lambda: self._area.ensureWidgetVisible(waiting[0]))
        elif self.settled:
            self.settled[0][0].setFocus()
        else:
            self.form.inputs["title"].setFocus()

    def _compose(self) -> None:
        seen, read = self._seen, self._read
        if seen is None or read is None:
            return
        for row in self.rows:
            if not row.is_confirmed:
                row.take_focus()
                self._context.say.refuse(message(f"{AREA}.confirm_first"))
                return
        faulty = self.form.first_trouble()
        if faulty:
            self.form.inputs[faulty].setFocus()
            self._context.say.refuse(message(f"{AREA}.mend_first"))
            return
        values = self.form.values()
        answers = [row.answer() for row in self.rows]
        settled = [doubt for box, doubt in self.settled if box.isChecked()]
        order_id, number, revision = seen.order.id, seen.order.number, seen.order.revision

        def keep(desk: Desk) -> Order:
            whole = whole_form.chosen(values, number, settled)
            prescription = read.proposed.prescription
            content = compose(prescription, answers, whole, desk.house.decimal_sign)
            one_off = whole_form.kept_as(self._context, content, values)
            order = compose_one_off(desk, order_id, one_off, seen=revision)
            asked = replace(
                asked_of(order),
                target=values["target"],
                directions=values["directions"],
                prescribed=prescribed_amount(content),
            )
            return change_order(desk, order_id, asked, seen=order.revision)

        self._context.do(keep, self._composed, changes=(Topic.ORDERS,))

    def _composed(self, order: Order) -> None:
        self._context.say.tell(f"{AREA}.composed", number=order.number)
        self.composed.emit(order.id)

    def _use(self, version_id: str) -> None:
        """Make a house formula instead; what the text says of directions is taken if none stand."""
        seen, read = self._seen, self._read
        if seen is None or read is None:
            return
        values = self.form.values()
        asked = replace(
            asked_of(seen.order),
            version_id=version_id,
            target=values["target"],
            directions=values["directions"],
        )
        self._context.do(
            lambda desk: change_order(desk, seen.order.id, asked, seen=seen.order.revision),
            self._used,
            changes=(Topic.ORDERS,),
        )

    def _used(self, order: Order) -> None:
        self._context.say.tell(f"{AREA}.kept", number=order.number)
        self.composed.emit(order.id)


def _empty(box: QVBoxLayout) -> None:
    while (item := box.takeAt(0)) is not None:
        if (widget := item.widget()) is not None:
            widget.hide()
            widget.deleteLater()
