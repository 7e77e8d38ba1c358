"""The form of an order: for whom, what, how much, and the prescription as it is written."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.errors import BadText, FormularyError
from formulary.messages import message
from formulary.orders.order import Order, Purpose
from formulary.orders.patient_text import read_age, read_days
from formulary.quantity.units import Dimension
from formulary.scaling.target import parse_target
from formulary.verbs.change_order import change_order
from formulary.verbs.look_up_order import OrderSeen
from formulary.verbs.take_order import take_order
from formulary.verbs.view_patient import PatientSeen, view_patient
from ui import theme
from ui.context import Context, Topic
from ui.forms import understanding
from ui.forms.days import today
from ui.forms.fields import FormField, Kind
from ui.forms.form import Form
from ui.forms.leaf import leaf
from ui.orders.order_model import AREA
from ui.orders.order_texts import Known, asked_from, known_formulas, texts_of
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.quantity_edit import NO_MEANING, Meaning, Understand
from ui.widgets.words import action, button, hairline, label, spaced


@dataclass(frozen=True, slots=True)
class _Opened:
    """What the form begins with: the formulas there are, and an order with its people."""

    known: Known
    seen: OrderSeen | None = None
    people: PatientSeen | None = None


class OrderForm(QWidget):
    """Takes or changes an order; ``kept`` tells its id and whether a prescription is to be read.

    What was typed for a new order stays until it is kept.
    """

    kept = Signal(str, bool)
    left = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._opened = _Opened({})
        self._before: dict[str, str] = {}
        self._unkept: dict[str, str] = {}
        self.form: Form | None = None
        self.title = label(role="title")
        self.keep = action(self, context.text(f"{AREA}.keep"), "Ctrl+S", self._keep)
        self.back = action(self, context.text(f"{AREA}.back"), "Esc", self.leave)
        self._lay_out()

    def begin_new(self) -> None:
        """Take a new order; what was typed before comes back."""
        self.title.setText(self._context.text(f"{AREA}.new_title"))
        self._context.do(lambda desk: _Opened(known_formulas(desk)), self._arrived)

    def begin_change(self, seen: OrderSeen) -> None:
        """Change an order; that its patient is looked at goes on record."""
        self._note_unkept()
        number = seen.order.number
        self.title.setText(self._context.text(f"{AREA}.change_title", number=number))

        def open_(desk: Desk) -> _Opened:
            people = view_patient(desk, seen.order.id)
            return _Opened(known_formulas(desk, seen), seen, people)

        self._context.do(open_, self._arrived, failed=self._not_opened)

    def _lay_out(self) -> None:
        inside = QWidget()
        self._box = QVBoxLayout(inside)
        spaced(self._box, inside=12, around=24)
        self._box.addWidget(self.title)
        self._box.addWidget(label(self._context.text(f"{AREA}.form_hint"), "note"))
        self._box.addStretch(1)
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside), 1)
        whole.addWidget(hairline())
        bar = QWidget()
        around = QVBoxLayout(bar)
        margin = theme.px(24)
        around.setContentsMargins(margin, theme.px(12), margin, theme.px(12))
        row = FlowLayout(gap=12)
        around.addLayout(row)
        keep = button(self.keep, accent=True)
        keep.setAutoDefault(True)
        row.addWidget(keep)
        row.addWidget(button(self.back))
        whole.addWidget(bar)

    def _arrived(self, opened: _Opened) -> None:
        self._opened = opened
        if self.form is not None:
            self._box.removeWidget(self.form)
            self.form.deleteLater()
        self.form = Form(self._context, AREA, self._fields())
        self._box.insertWidget(2, self.form)
        seen, people = opened.seen, opened.people
        if seen is not None and people is not None:
            self._before = texts_of(self._context, seen, people, today(self._context))
            self.form.show_values(self._before)
            self.form.inputs["purpose"].setEnabled(False)
        else:
            self._before = {}
            self.form.show_values({"purpose": Purpose.PATIENT.value} | self._unkept)
        first = "patient" if seen is None else "target"
        self.form.inputs[first].setFocus()

    def _fields(self) -> tuple[FormField, ...]:
        sign = self._context.house.decimal_sign
        day = today(self._context)
        titles = tuple(self._opened.known)
        return (
            FormField("purpose", Kind.CHOICE, choices=self._purposes),
            FormField("patient"),
            FormField("age", understand=_reads(lambda text: read_age(text, day)), hint=True),
            FormField("weight", understand=understanding.amount(self._context, Dimension.MASS)),
            FormField("allergies", hint=True),
            FormField("telephone"),
            FormField("ward"),
            FormField("prescriber"),
            FormField("formula", understand=self._formula, offered=lambda: titles, hint=True),
            FormField("target", understand=_reads(lambda text: parse_target(text, sign))),
            FormField("directions", Kind.TEXT),
            FormField("treatment_days", understand=_reads(read_days)),
            FormField("prescription", Kind.TEXT, hint=True),
        )

    def _purposes(self) -> Sequence[tuple[str, str]]:
        text = self._context.text
        return [(text(f"orders.purpose.{each.value}"), each.value) for each in Purpose]

    def _formula(self, typed: str) -> Meaning:
        if typed.strip() not in self._opened.known:
            raise BadText(message(f"{AREA}.unknown_formula", typed=typed.strip()))
        return NO_MEANING

    def _keep(self) -> None:
        if self.form is None:
            return
        faulty = self.form.first_trouble()
        if faulty:
            self.form.inputs[faulty].setFocus()
            self._context.say.refuse(message(f"{AREA}.mend_first"))
            return
        texts, opened, before = self.form.values(), self._opened, self._before

        def keep(desk: Desk) -> Order:
            asked = asked_from(desk, texts, before, opened.known)
            if opened.seen is None:
                return take_order(desk, asked)
            return change_order(desk, opened.seen.order.id, asked)

        self._context.do(keep, self._kept, changes=(Topic.ORDERS,), failed=self._not_kept)

    def _kept(self, order: Order) -> None:
        is_new = self._opened.seen is None
        if is_new and self.form is not None:
            self._unkept = {}
            self.form.show_values({})
        self._opened = _Opened({})
        self._context.say.tell(f"{AREA}.kept", number=order.number)
        to_read = is_new and bool(order.prescription) and not order.version_id
        self.kept.emit(order.id, to_read and order.purpose is Purpose.PATIENT)

    def _not_kept(self, error: FormularyError) -> None:
        field = error.field if isinstance(error, BadText) else None
        if self.form is not None and field in self.form.inputs:
            self.form.show_trouble(str(field), error.message)
        else:
            self._context.say.refuse(error)

    def _not_opened(self, error: FormularyError) -> None:
        self._context.say.refuse(error)
        self.left.emit()

    def leave(self) -> None:
        """Step back; what was typed for a new order comes back with the next one."""
        self._note_unkept()
        self.left.emit()

    def _note_unkept(self) -> None:
        """Hold what was typed for a new order; a change that wasn't kept is let go."""
        if self.form is not None and self._opened.known and self._opened.seen is None:
            self._unkept = self.form.values()
        self._opened = _Opened({})


def _reads(read: Callable[[str], object]) -> Understand:
    """Let a reader of the trade judge what is typed."""

    def understand(text: str) -> Meaning:
        read(text)
        return NO_MEANING

    return understand
