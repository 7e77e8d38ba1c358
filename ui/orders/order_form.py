"""The form of an order: for whom, what, how much, and the prescription as it is written."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget
from shiboken6 import isValid

from formulary.desk import Desk
from formulary.errors import BadText, FormularyError
from formulary.formula.content import Route
from formulary.formula.version import Version
from formulary.messages import message
from formulary.orders.order import Order, Purpose
from formulary.orders.patient_text import read_age, read_days
from formulary.people import Part
from formulary.quantity.units import Dimension
from formulary.scaling.target import parse_target
from formulary.verbs.change_order import change_order
from formulary.verbs.find_person import Known as Person
from formulary.verbs.find_person import find_person, known_person
from formulary.verbs.keep_order_draft import drop_order_draft, keep_order_draft, order_draft
from formulary.verbs.look_up_order import OrderSeen
from formulary.verbs.take_order import Asked, directions_of, take_order
from formulary.verbs.view_patient import PatientSeen, view_patient
from formulary.wording.directions import Dosing
from formulary.wording.strength import only_strength
from ui import theme
from ui.context import Context, Topic
from ui.forms import understanding
from ui.forms.days import today
from ui.forms.directions_builder import DirectionsBuilder, same_words
from ui.forms.fields import FormField, Kind
from ui.forms.form import Form
from ui.forms.languages import language_choices
from ui.forms.leaf import leaf
from ui.forms.tried_again import TriedAgain
from ui.orders.known_list import KnownList
from ui.orders.order_model import AREA
from ui.orders.order_texts import (
    PICKED,
    Known,
    PickedPerson,
    asked_from,
    known_formulas,
    picked_person,
    still_picked,
    texts_of,
)
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.quantity_edit import NO_MEANING, Meaning, Understand
from ui.widgets.words import action, button, hairline, label, spaced

PAUSE_MS = 700
_OF_PRESCRIBER = ("prescriber", "prescriber_telephone")


@dataclass(frozen=True, slots=True)
class _Opened:
    """What the form begins with: the formulas, and an order with its people or a draft."""

    known: Known
    seen: OrderSeen | None = None
    people: PatientSeen | None = None
    draft: Mapping[str, str] = field(default_factory=dict)
    picked: Mapping[str, Person] = field(default_factory=dict)


class OrderForm(QWidget):
    """Takes or changes an order; ``kept`` tells its id and whether a prescription is to be read.

    What is typed for a new order is on disk at once and comes back until it is kept. Somebody known
    is found by a key and picked.
    """

    kept = Signal(str, bool)
    left = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._opened = _Opened({})
        self._before: dict[str, str] = {}
        self._picked: dict[str, PickedPerson] = {}
        self._finding = ""
        self._dirty = False
        self.form: Form | None = None
        self.known = KnownList(context)
        self._pause = QTimer(self, singleShot=True, interval=PAUSE_MS)
        self.title = label(role="title")
        self.builder = DirectionsBuilder(context)
        self._dosing: Dosing | None = None
        self._built = ""
        self.build = action(self, context.text("ui_directions.build"), "Ctrl+D", self._build)
        self.keep = action(self, context.text(f"{AREA}.keep"), "Ctrl+S", self._keep)
        self.find_known = action(self, context.text(f"{AREA}.find_known"), "F4", self._find)
        self.back = action(self, context.text(f"{AREA}.back"), "Esc", self._step_back)
        self.known.picked.connect(self._take_known)
        self._pause.timeout.connect(self.keep_draft)
        self._again = TriedAgain(context, self.keep_draft, self)
        self._lay_out()

    def begin_new(self) -> None:
        """Take a new order; what was typed before comes back."""
        self.title.setText(self._context.text(f"{AREA}.new_title"))
        self._context.do(_opened_new, self._arrived)

    def begin_change(self, seen: OrderSeen) -> None:
        """Change an order; that its patient is looked at goes on record."""
        self.keep_draft()
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
        self._box.addWidget(self.known)
        self._box.addWidget(self.builder)
        self._box.addStretch(1)
        self.builder.built.connect(self._take_built)
        self.builder.left.connect(self._leave_builder)
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        self._leaf = leaf(inside)
        whole.addWidget(self._leaf, 1)
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
        row.addWidget(button(self.find_known))
        row.addWidget(button(self.build))
        row.addWidget(button(self.back))
        whole.addWidget(bar)

    def _arrived(self, opened: _Opened) -> None:
        self._opened = opened
        if self.form is not None:
            self._box.removeWidget(self.form)
            self.form.deleteLater()
        self.form = Form(self._context, AREA, self._fields())
        self._box.insertWidget(3, self.form)
        self.form.edited.connect(self._edited)
        self._picked, self._dirty = {}, False
        self.known.close_list()
        seen, people = opened.seen, opened.people
        self.builder.hide()
        self._dosing = seen.order.dosing if seen is not None else self._dosing
        self._built = seen.order.directions if seen is not None else self._built
        if seen is not None and people is not None:
            self._before = texts_of(self._context, seen, people, today(self._context))
            self.form.show_values(self._before)
            self.form.inputs["purpose"].setEnabled(False)
        else:
            self._before = {}
            self.form.show_values({"purpose": Purpose.PATIENT.value, **opened.draft})
            for name, person in opened.picked.items():
                self._note_picked(name, person)
        self._leaf.to_top()
        first = "patient" if seen is None else "target"
        self.form.inputs[first].setFocus()

    def _fields(self) -> tuple[FormField, ...]:
        sign = self._context.house.decimal_sign
        day = today(self._context)
        titles = tuple(self._opened.known)
        return (
            FormField("purpose", Kind.CHOICE, choices=self._purposes),
            FormField("patient", hint=True),
            FormField("age", understand=_reads(lambda text: read_age(text, day)), hint=True),
            FormField("weight", understand=understanding.amount(self._context, Dimension.MASS)),
            FormField("allergies", hint=True),
            FormField("telephone"),
            FormField("ward"),
            FormField("prescriber"),
            FormField("prescriber_telephone"),
            FormField("formula", understand=self._formula, offered=lambda: titles, hint=True),
            FormField("target", understand=_reads(lambda text: parse_target(text, sign))),
            FormField("language", Kind.CHOICE, choices=self._languages, hint=True),
            FormField("directions", Kind.TEXT, understanding.label_text),
            FormField("treatment_days", understand=_reads(read_days)),
            FormField("prescription", Kind.TEXT, hint=True, lines=8),
        )

    def _languages(self) -> Sequence[tuple[str, str]]:
        usual = (self._context.text(f"{AREA}.usual_language"), "")
        return [usual, *language_choices(self._context, "label")]

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
        picked = still_picked(self._picked, texts)
        dosing = self._dosing if same_words(texts["directions"], self._built) else None
        self._pause.stop()

        def keep(desk: Desk) -> Order:
            asked = asked_from(desk, texts, before, opened.known, picked)
            asked = replace(asked, dosing=dosing)
            if opened.seen is None:
                order = take_order(desk, asked)
                drop_order_draft(desk)
                return order
            seen = opened.seen.order
            return change_order(desk, seen.id, asked, seen=seen.revision)

        self._context.do(keep, self._kept, changes=(Topic.ORDERS,), failed=self._not_kept)

    def _kept(self, order: Order) -> None:
        is_new = self._opened.seen is None
        if is_new and self.form is not None:
            self._dosing, self._built = None, ""
            self.form.show_values({})
        self._dirty = False
        self._opened = _Opened({})
        self._context.say.tell(f"{AREA}.kept", number=order.number)
        to_read = is_new and bool(order.prescription) and not order.version_id
        self.kept.emit(order.id, to_read and order.purpose is Purpose.PATIENT)

    def _build(self) -> None:
        """Build the directions from their parts, by the formula's route and strength."""
        if self.form is None:
            return
        texts, known = self.form.values(), self._opened.known
        version_id = known.get(texts["formula"].strip(), "")
        language = texts["language"]

        def arrived(version: Version | None) -> None:
            content = version.content if version else None
            route = content.route if content else Route.SKIN
            strength = only_strength(content) if content else None
            self.builder.begin(self._dosing, route, strength, language)

        self._context.do(
            lambda desk: desk.store.get(Version, version_id) if version_id else None, arrived
        )

    def _take_built(self, dosing: Dosing) -> None:
        """Write what was built into the text, in the house's label language."""
        self._dosing = dosing
        version_id = self._opened.known.get(self._formula_typed(), "")

        def said(desk: Desk) -> str:
            return directions_of(desk, Asked(version_id=version_id, dosing=dosing))

        self._context.do(said, self._write_built)

    def _write_built(self, text: str) -> None:
        self._built = text
        if self.form is not None:
            self.form.inputs["directions"].set_text(text)
            self.form.inputs["directions"].setFocus()

    def _leave_builder(self) -> None:
        self.builder.hide()
        if self.form is not None:
            self.form.inputs["directions"].setFocus()

    def _formula_typed(self) -> str:
        return self.form.values()["formula"].strip() if self.form is not None else ""

    def _not_kept(self, error: FormularyError) -> None:
        faulty = error.field if isinstance(error, BadText) else None
        if self.form is not None and faulty in self.form.inputs:
            self.form.show_trouble(str(faulty), error.message)
        else:
            self._context.say.refuse(error)

    def _not_opened(self, error: FormularyError) -> None:
        self._context.say.refuse(error)
        self.left.emit()

    def leave(self) -> None:
        """Step back; what was typed for a new order comes back with the next one."""
        self.keep_draft()
        self._opened = _Opened({})
        self.left.emit()

    def keep_draft(self) -> None:
        """Have what was typed for a new order on disk; a change that isn't kept is let go."""
        self._pause.stop()
        if self.form is None or not self._dirty or self._opened.seen is not None:
            return
        self._dirty = False
        texts = self.form.values()
        for name, each in still_picked(self._picked, texts).items():
            texts[PICKED[name]] = each.id
        self._context.do(
            lambda desk: keep_order_draft(desk, texts),
            lambda _: self._again.succeeded(),
            failed=self._draft_not_kept,
        )

    def _draft_not_kept(self, trouble: FormularyError) -> None:
        self._dirty = self._dirty or self._opened.seen is None
        self._again.failed(trouble)

    def _edited(self) -> None:
        if self._opened.known and self._opened.seen is None:
            self._dirty = True
            self._pause.start()

    def _step_back(self) -> None:
        """Esc: take away the list of known people or the directions' parts, else leave."""
        if self.known.isVisible():
            self.known.close_list()
            self._focus(self._finding)
        elif self.builder.isVisible():
            self._leave_builder()
        else:
            self.leave()

    def _find(self) -> None:
        """Look for known people by what stands in the field of the patient or the prescriber."""
        if self.form is None:
            return
        focused = QApplication.focusWidget()
        at_prescriber = focused is not None and any(
            self.form.inputs[name].isAncestorOf(focused) for name in _OF_PRESCRIBER
        )
        self._finding = "prescriber" if at_prescriber else "patient"
        edit = self.form.inputs[self._finding]
        typed, part = edit.text(), Part(self._finding)

        def arrived(known: tuple[Person, ...]) -> None:
            # Who has another name by now isn't offered: Enter would take them.
            if isValid(edit) and edit.text() == typed:
                self._found(known)

        self._context.do(lambda desk: find_person(desk, part, typed), arrived, lane="known")

    def _found(self, known: tuple[Person, ...]) -> None:
        self.known.show_known(known)
        if not known:
            self._context.say.tell(f"{AREA}.known_nobody")
            self._focus(self._finding)

    def _take_known(self, person: Person) -> None:
        """Fill the form with what is known of somebody; the weight may be another by now."""
        if self.form is None:
            return
        self._note_picked(self._finding, person)
        for name, text in self._picked[self._finding].texts.items():
            self.form.inputs[name].set_text(text)
        self._edited()
        self._focus("prescriber_telephone" if self._finding == "prescriber" else "weight")

    def _note_picked(self, name: str, person: Person) -> None:
        self._picked[name] = picked_person(self._context, name, person, today(self._context))

    def _focus(self, name: str) -> None:
        if self.form is not None and name in self.form.inputs:
            self.form.inputs[name].setFocus()


def _opened_new(desk: Desk) -> _Opened:
    """Return what a new order begins with: the draft that was left, with who was picked in it."""
    draft = order_draft(desk)
    found = {name: known_person(desk.store, draft.pop(at, "")) for name, at in PICKED.items()}
    picked = {name: person for name, person in found.items() if person is not None}
    return _Opened(known_formulas(desk), draft=draft, picked=picked)


def _reads(read: Callable[[str], object]) -> Understand:
    """Let a reader of the trade judge what is typed."""

    def understand(text: str) -> Meaning:
        read(text)
        return NO_MEANING

    return understand
