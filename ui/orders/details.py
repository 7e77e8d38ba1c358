"""One order: what it asks for, what blocks it, its queries, and what can be done about it."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.orders.order import NEXT, OrderState, Purpose
from formulary.orders.standing import Standing
from formulary.preparation import Preparation
from formulary.roles import MAY
from formulary.verbs.look_up_order import OrderSeen
from formulary.verbs.make_order import make_order
from formulary.verbs.view_patient import PatientSeen, view_patient
from ui import signs
from ui.context import Context, PageName, Topic
from ui.forms.days import today
from ui.forms.facts import Facts
from ui.forms.fields import FormField
from ui.forms.leaf import leaf
from ui.forms.signed_text import SignedText
from ui.orders.acts import ACTS, OrderAct, fits, query_of
from ui.orders.order_facts import block_said, facts_of, patient_facts, query_said
from ui.orders.order_model import AREA
from ui.stock.question import Question
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, set_role, spaced


class OrderDetails(QWidget):
    """Shows an order; the patient only when asked, which is put on record.

    ``left`` when the person steps back, ``changed`` when it must be read anew, the others which
    part of the page is wanted next for it.
    """

    left = Signal()
    changed = Signal()
    changing = Signal(object)
    composing = Signal(object)
    checking = Signal(object)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._seen: OrderSeen | None = None
        self.number = ""
        text = context.text
        self.title = label(role="title")
        self.blocks = SignedText(context, signs.Sign.OCTAGON, "stop")
        self.notes = SignedText(context, signs.Sign.TRIANGLE, "thought")
        self.who_signs = SignedText(context, signs.Sign.DOT, "", worded=False)
        self.facts = Facts()
        self.people = Facts()
        self.queries = label()
        self.prescription = label()
        self._headings = {
            name: label(text(f"{AREA}.{name}"), "heading") for name in ("queries", "prescription")
        }
        self.question = Question(context)
        self.start = action(self, text(f"{AREA}.start"), "Ctrl+B", self._ask_excess)
        self.check = action(self, text(f"{AREA}.check"), "Ctrl+P", self._check)
        self.read = action(self, text(f"{AREA}.read"), "Ctrl+R", self._compose)
        self.show_patient = action(self, text(f"{AREA}.show_patient"), "Ctrl+I", self._patient)
        self.change = action(self, text(f"{AREA}.change"), "Ctrl+E", self._change)
        self.acts = {each.name: self._action(each) for each in ACTS}
        self.back = action(self, text(f"{AREA}.back"), "Esc", self._step_back)
        self._lay_out()
        self.question.dropped.connect(self.take_focus)
        context.seated.connect(self._seated)

    def show_order(self, seen: OrderSeen) -> None:
        """Show an order; the patient's data shows again when it is asked for."""
        self._seen = seen
        self.number = seen.order.number
        context, order = self._context, seen.order
        self.question.ask_nothing()
        titled = seen.version.content.title if seen.version is not None else ""
        self.title.setText(
            context.text(f"{AREA}.title", number=order.number, title=titled)
            if titled
            else order.number
        )
        shown = seen.blocks if NEXT[order.state] else ()
        self.blocks.say([block_said(context, each) for each in shown])
        self.notes.say([context.said(each) for each in seen.notes])
        self.facts.show_facts(facts_of(context, seen))
        self.hide_people()
        self._say("queries", self.queries, [query_said(context, each) for each in order.queries])
        self._say("prescription", self.prescription, order.prescription.splitlines())
        self._offer_acts(seen)
        self.take_focus()

    def hide_people(self) -> None:
        """Show nobody's data any more."""
        self.people.show_facts([])
        self.people.hide()

    def take_focus(self) -> None:
        """Begin with what is to be done next; read again behind another page it takes no key."""
        if not self.isVisible():
            return
        offered = [each for each in self._buttons if each.isEnabled()]
        marked = [each for each in offered if each.property("role") == "accent"]
        first = next(iter((*marked, *offered)), self._back_button)
        first.setFocus()

    def _action(self, act: OrderAct) -> QAction:
        words = self._context.text(f"{AREA}.act.{act.name}")
        return action(self, words, act.keys, lambda: self._begin(act))

    def _lay_out(self) -> None:
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside))
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        offered = (self.start, self.check, self.read, self.show_patient, self.change)
        self._buttons = [button(made) for made in (*offered, *self.acts.values())]
        self._back_button = button(self.back)
        row = FlowLayout()
        for made in (*self._buttons, self._back_button):
            row.addWidget(made)
        for part in (self.title, self.blocks, self.notes, self.who_signs, self.facts, self.people):
            box.addWidget(part)
        box.addLayout(row)
        box.addWidget(self.question)
        for name, part in (("queries", self.queries), ("prescription", self.prescription)):
            box.addWidget(self._headings[name])
            box.addWidget(part)
        box.addStretch(1)

    def _say(self, name: str, where: QWidget, lines: list[str]) -> None:
        for part in (self._headings[name], where):
            part.setVisible(bool(lines))
        getattr(self, name).setText("\n".join(lines))

    def _offer_acts(self, seen: OrderSeen) -> None:
        """Offer what makes sense; the one thing to do next is marked and comes first."""
        order = seen.order
        received = order.state is OrderState.RECEIVED
        is_open, for_patient = bool(NEXT[order.state]), order.purpose is Purpose.PATIENT
        _offer(self.start, fits=seen.standing is Standing.READY)
        _offer(self.check, fits=is_open and for_patient and seen.version is not None)
        _offer(self.read, fits=received and for_patient and bool(order.prescription))
        _offer(self.show_patient, fits=bool(order.patient_id or order.prescriber_id))
        _offer(self.change, fits=is_open)
        for act in ACTS:
            _offer(self.acts[act.name], fits=fits(act, seen))
        me = self._context.desk.person
        signs_here = me.post in MAY["sign_plausibility"]
        says_who = seen.standing is Standing.TO_CHECK and not signs_here
        self.who_signs.say([self._context.text(f"{AREA}.who_checks")] if says_who else [])
        following = {
            Standing.READY: self.start,
            Standing.TO_CHECK: self.check if signs_here else self.change,
            Standing.WAITING: self.acts["answer"],
        }.get(seen.standing)
        if seen.standing is Standing.INCOMPLETE:
            needs_formula = seen.version is None and self.read.isEnabled()
            following = self.read if needs_formula else self.change
        for each in self._buttons:
            is_next = following is not None and each.accessibleName() == following.text()
            set_role(each, "accent" if is_next else "")

    def _seated(self) -> None:
        if self._seen is not None:
            self._offer_acts(self._seen)

    def _begin(self, act: OrderAct) -> None:
        seen = self._seen
        if seen is None:
            return
        words = self._context.text(f"{AREA}.act.{act.name}")
        queries = {each.id: each.question for each in seen.order.queries}
        about = queries.get(query_of(seen), "") if act.on_query else seen.order.number
        heading = self._context.text(f"{AREA}.asking", act=words, about=about)
        fields = [_field(each) for each in act.fields]
        self.question.ask(heading, words, AREA, fields, lambda said: self._run(act, seen, said))

    def _run(self, act: OrderAct, seen: OrderSeen, said: Mapping[str, str]) -> None:
        words = self._context.text(f"{AREA}.act.{act.name}")

        def done(_: object) -> None:
            self._context.say.tell(f"{AREA}.done", act=words, number=seen.order.number)
            self.changed.emit()

        self._context.do(lambda desk: act.run(desk, seen, said), done, changes=(Topic.ORDERS,))

    def _ask_excess(self) -> None:
        seen = self._seen
        if seen is None:
            return
        heading = self._context.text(
            f"{AREA}.starting", target=seen.order.target, number=seen.order.number
        )
        words = self._context.text(f"{AREA}.start_with")
        fields = [FormField("excess", hint=True)]
        self.question.ask(heading, words, AREA, fields, lambda said: self._start(seen, said))

    def _start(self, seen: OrderSeen, said: Mapping[str, str]) -> None:
        self._context.do(
            lambda desk: make_order(desk, seen.order.id, said["excess"], seen=seen.order.revision),
            self._started,
            changes=(Topic.ORDERS, Topic.PREPARATIONS),
        )

    def _started(self, made: Preparation) -> None:
        self.question.ask_nothing()
        self._context.say.tell(f"{AREA}.started", lot=made.lot)
        self._context.go(PageName.BENCH, made.lot)

    def _check(self) -> None:
        self.checking.emit(self._seen)

    def _compose(self) -> None:
        self.composing.emit(self._seen)

    def _change(self) -> None:
        self.changing.emit(self._seen)

    def _patient(self) -> None:
        seen = self._seen
        if seen is None:
            return

        def look(desk: Desk) -> PatientSeen:
            return view_patient(desk, seen.order.id)

        def arrived(people: PatientSeen) -> None:
            if self._seen is seen:
                self.people.show_facts(patient_facts(self._context, people, today(self._context)))
                self.people.show()

        self._context.do(look, arrived)

    def _step_back(self) -> None:
        if self.question.asking:
            self.question.ask_nothing()
            self.take_focus()
        else:
            self.left.emit()


def _field(name: str) -> FormField:
    """Return the field of an act; those with a ``*`` are required, the others have a hint."""
    required = name.endswith("*")
    return FormField(name.strip("*"), required=required, hint=not required)


def _offer(made: QAction, *, fits: bool) -> None:
    made.setVisible(fits)
    made.setEnabled(fits)
