"""The form of a delivery: what stands on the containers and on their certificate."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TypeAlias

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.clock import legal_date
from formulary.desk import Desk
from formulary.errors import BadText, FormularyError
from formulary.formula.periods import parse_period
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.quantity.writing import NO_BREAK_SPACE
from formulary.stock.delivery_text import Arriving, read_cost, read_delivery, read_sizes
from formulary.stock.expiry import parse_expiry
from formulary.stock.lot import AssayBasis, Source, SupplyLot
from formulary.verbs.receive_lot import Received, receive_lot
from formulary.verbs.two_people import UNSIGNED, Signing
from ui import theme
from ui.context import Context, Topic
from ui.forms.fields import FormField, Kind
from ui.forms.form import Form
from ui.forms.leaf import leaf
from ui.sign_in.both_sign import both_sign
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.quantity_edit import NO_MEANING, Meaning, Understand
from ui.widgets.words import action, button, hairline, label, spaced

AREA = "ui_stock"
Known: TypeAlias = tuple[Mapping[str, Ingredient], tuple[str, ...], tuple[str, ...]]
_BOUGHT = tuple(each for each in Source if each is not Source.INTERMEDIATE)


class ReceiveForm(QWidget):
    """Takes a delivery; ``received`` tells the lot's id, ``left`` that the person stepped back.

    What was typed stays until it is kept.
    """

    received = Signal(str)
    left = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._known: dict[str, Ingredient] = {}
        self._suppliers: tuple[str, ...] = ()
        self._places: tuple[str, ...] = ()
        self.form: Form | None = None
        self.title = label(context.text(f"{AREA}.receive_title"), "title")
        self.keep = action(self, context.text(f"{AREA}.keep"), "Ctrl+S", self._keep)
        self.back = action(self, context.text(f"{AREA}.back"), "Esc", self.left.emit)
        self._lay_out()

    def begin(self) -> None:
        """Read what ingredients and suppliers there are, then take what is typed."""
        self._context.do(_known, self._arrived, lane="stock.receive")

    def _lay_out(self) -> None:
        inside = QWidget()
        self._box = QVBoxLayout(inside)
        spaced(self._box, inside=12, around=24)
        self._box.addWidget(self.title)
        self._box.addWidget(label(self._context.text(f"{AREA}.receive_hint"), "note"))
        self._box.addStretch(1)
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside), 1)
        whole.addWidget(hairline())
        whole.addWidget(self._bar())

    def _bar(self) -> QWidget:
        bar = QWidget()
        box = QVBoxLayout(bar)
        spaced(box)
        box.setContentsMargins(theme.px(24), theme.px(12), theme.px(24), theme.px(12))
        row = FlowLayout(gap=12)
        keep = button(self.keep, accent=True)
        keep.setAutoDefault(True)
        row.addWidget(keep)
        row.addWidget(button(self.back))
        box.addLayout(row)
        return bar

    def _arrived(self, known: Known) -> None:
        ingredients, self._suppliers, self._places = known
        self._known = dict(ingredients)
        before = self.form.values() if self.form is not None else {}
        if self.form is not None:
            self._box.removeWidget(self.form)
            self.form.deleteLater()
        self.form = Form(self._context, AREA, self._fields())
        self._box.insertWidget(2, self.form)
        if before:
            self.form.show_values(before)
        self.form.inputs["ingredient"].edited.connect(self._propose)
        self.form.inputs["ingredient"].setFocus()

    def _fields(self) -> tuple[FormField, ...]:
        sign = self._context.house.decimal_sign
        return (
            FormField(
                "ingredient",
                understand=self._ingredient,
                required=True,
                offered=lambda: tuple(self._known),
            ),
            FormField("source", Kind.CHOICE, choices=self._sources),
            FormField("strength", hint=True),
            FormField("number", required=True),
            FormField(
                "containers",
                understand=_reads(lambda text: read_sizes(text, sign)),
                required=True,
                hint=True,
            ),
            FormField("expiry", understand=_reads(parse_expiry), hint=True),
            FormField("supplier", offered=lambda: self._suppliers),
            FormField("supplier_reason", hint=True),
            FormField("maker"),
            FormField("grade"),
            FormField("place", offered=lambda: self._places),
            FormField("in_use", understand=_reads(parse_period), hint=True),
            FormField("assay", hint=True),
            FormField("basis", Kind.CHOICE, choices=self._bases),
            FormField("water"),
            FormField("loss_on_drying"),
            FormField("potency", hint=True),
            FormField("hazards", hint=True),
            FormField("allergens"),
            FormField("cost", understand=_reads(lambda text: read_cost(text, sign)), hint=True),
        )

    def _propose(self) -> None:
        """Propose the kind and strength on record for the ingredient, where nobody typed any."""
        if self.form is None:
            return
        found = self._known.get(self.form.values()["ingredient"].strip())
        if found is None or self.form.values()["strength"].strip():
            return
        strength = found.strength
        written = "" if strength is None else self._context.catalogue.written(strength)
        self.form.inputs["source"].set_text(found.source.value)
        self.form.inputs["strength"].set_text(written.replace(NO_BREAK_SPACE, " "))

    def _ingredient(self, text: str) -> Meaning:
        if text.strip() not in self._known:
            raise BadText(message(f"{AREA}.no_ingredient", typed=text.strip()))
        return NO_MEANING

    def _sources(self) -> Sequence[tuple[str, str]]:
        text = self._context.text
        return [(text(f"stock.source.{each.value}"), each.value) for each in _BOUGHT]

    def _bases(self) -> Sequence[tuple[str, str]]:
        text = self._context.text
        return [(text(f"{AREA}.fact.basis.{each.value}"), each.value) for each in AssayBasis]

    def _keep(self) -> None:
        if self.form is None:
            return
        faulty = self.form.first_trouble()
        if faulty:
            self.form.inputs[faulty].setFocus()
            self._context.say.refuse(message(f"{AREA}.mend_first"))
            return
        texts = self.form.values()
        ingredient = self._known[texts["ingredient"].strip()]
        if ingredient.controlled:
            self._keep_controlled(texts, ingredient)
            return
        self._context.do(
            lambda desk: _receive(desk, texts, ingredient.id),
            self._kept,
            changes=(Topic.STOCK,),
            failed=self._not_kept,
        )

    def _keep_controlled(self, texts: Mapping[str, str], ingredient: Ingredient) -> None:
        words = self._context.text(f"{AREA}.keep")
        both_sign(
            self._context,
            "receive_lot",
            (
                self._context.text(f"{AREA}.both.first", act=words, name=ingredient.name),
                self._context.text(f"{AREA}.both.second", act=words, name=ingredient.name),
            ),
            lambda desk, by: _receive(desk, texts, ingredient.id, by),
            self._kept,
            changes=(Topic.STOCK,),
        )

    def _kept(self, came: Received) -> None:
        if self.form is not None:
            self.form.show_values({})
        numbers = tuple(each.number for each in came.containers)
        self._context.say.tell(f"{AREA}.received", lot=came.lot.number, numbers=numbers)
        if came.doubts:
            self._context.say.refuse(
                message(f"{AREA}.doubts", doubts=tuple(each.said for each in came.doubts))
            )
        self.received.emit(came.lot.id)

    def _not_kept(self, error: FormularyError) -> None:
        field = error.field if isinstance(error, BadText) else None
        if self.form is not None and field in self.form.inputs:
            self.form.show_trouble(str(field), error.message)
        else:
            self._context.say.refuse(error)


def _reads(read: Callable[[str], object]) -> Understand:
    """Let a reader of the trade judge what is typed."""

    def understand(text: str) -> Meaning:
        read(text)
        return NO_MEANING

    return understand


def _known(desk: Desk) -> Known:
    """Return the ingredients by name, and the suppliers and places there are."""
    ingredients = sorted(desk.store.every(Ingredient), key=lambda each: each.name.casefold())
    lots = desk.store.every(SupplyLot)
    known = {each.supplier for each in lots if each.supplier} | set(desk.house.suppliers)
    suppliers = sorted(known)
    places = sorted({each.place for each in lots if each.place})
    return {each.name: each for each in ingredients}, tuple(suppliers), tuple(places)


def _receive(
    desk: Desk, texts: Mapping[str, str], ingredient_id: str, signing: Signing = UNSIGNED
) -> Received:
    house = desk.house
    day = legal_date(desk.clock.now(), house.zone)
    arriving = Arriving(new_id(), ingredient_id, day, desk.person.name, house.decimal_sign)
    came = read_delivery(texts, arriving)
    return receive_lot(desk, came.lot, came.sizes, came.in_use, signing)
