"""Directions built from their parts, the sentences below them as one chooses."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.catalogue import Catalogue
from formulary.errors import BadText, FormularyError
from formulary.formula.content import Route
from formulary.formula.periods import parse_period
from formulary.quantity.amount import Concentration
from formulary.wording.directions import (
    PLACES,
    UNITS,
    DayPart,
    Dosing,
    Food,
    Often,
    Use,
    sentences,
    usual_use,
)
from formulary.wording.typed import dosing_texts, read_dosing
from ui.context import Context
from ui.forms.fields import Choices, FormField, Kind
from ui.forms.form import Form
from ui.forms.understanding import label_text
from ui.widgets.quantity_edit import NO_MEANING, Meaning
from ui.widgets.words import action, button, label, spaced

AREA = "ui_directions"


class DirectionsBuilder(QWidget):
    """Takes the parts of directions; ``built`` hands over the dosing, ``left`` steps back."""

    built = Signal(object)
    left = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._strength: Concentration | None = None
        self._language = ""
        self.form = Form(context, AREA, self._fields())
        self.sentence = label(role="")
        self.sentence.setAccessibleName(context.text(f"{AREA}.sentence"))
        self.take = action(self, context.text(f"{AREA}.take"), "Ctrl+Return", self._take)
        # Its page's Esc steps back from here first: the same key twice would do nothing.
        self.back = action(self, context.text(f"{AREA}.back"), "", self.left.emit)
        box = QVBoxLayout(self)
        spaced(box, inside=8)
        for part in (self.form, self.sentence, button(self.take, accent=True)):
            box.addWidget(part)
        box.addWidget(button(self.back, keys="Esc"))
        self.form.edited.connect(self._show)
        self.hide()

    def begin(
        self,
        dosing: Dosing | None,
        route: Route = Route.SKIN,
        strength: Concentration | None = None,
        language: str = "",
    ) -> None:
        """Begin with what there is, else with what the route suggests; show it in a language."""
        self._strength, self._language = strength, language
        sign = self._context.house.decimal_sign
        use, place = usual_use(route)
        at_first = {"use": use.value, "place": place, "often": Often.TIMES_A_DAY.value}
        self.form.show_values(dosing_texts(dosing, sign) if dosing else at_first)
        self._show()
        self.show()
        self.form.inputs["use"].setFocus()

    def _fields(self) -> tuple[FormField, ...]:
        places = [each for group in PLACES.values() for each in group]
        return (
            FormField("use", Kind.CHOICE, choices=self._words("use", [each.value for each in Use])),
            FormField("amount", hint=True),
            FormField("unit", Kind.CHOICE, choices=self._words("unit", ["", *UNITS])),
            FormField("place", Kind.CHOICE, choices=self._words("place", ["", *places])),
            FormField("often", Kind.CHOICE, choices=self._words("often", _values(Often))),
            FormField("number", hint=True),
            FormField("at", Kind.CHECKS, choices=self._words("at", _values(DayPart))),
            FormField("food", Kind.CHOICE, choices=self._words("food", _values(Food))),
            FormField("hours_apart"),
            FormField("lasts", understand=_period, hint=True),
            FormField("note", understand=label_text, hint=True),
        )

    def _words(self, name: str, values: Sequence[str]) -> Choices:
        def choices() -> list[tuple[str, str]]:
            text = self._context.text
            return [(text(f"{AREA}.{name}.{value or 'none'}"), value) for value in values]

        return choices

    def _read(self) -> Dosing:
        return read_dosing(self.form.values(), self._context.house.decimal_sign)

    def _show(self) -> None:
        """Show the sentences as they stand, or what is missing for them."""
        try:
            dosing = self._read()
        except FormularyError as trouble:
            self.sentence.setText(self._context.said(trouble.message))
            self.take.setEnabled(False)
            return
        self.sentence.setText(self._said(dosing))
        self.take.setEnabled(True)

    def _said(self, dosing: Dosing) -> str:
        house = self._context.house
        words = Catalogue(self._language or house.label_language, house.decimal_sign)
        said = (*map(words.text, sentences(dosing, self._strength)), dosing.note)
        return " ".join(filter(None, said))

    def _take(self) -> None:
        try:
            dosing = self._read()
        except FormularyError as trouble:
            field = trouble.field if isinstance(trouble, BadText) else None
            if field in self.form.inputs:
                self.form.show_trouble(str(field), trouble.message)
            else:
                self._context.say.refuse(trouble)
            return
        self.hide()
        self.built.emit(dosing)


def same_words(one: str, other: str) -> bool:
    """Tell whether two texts differ by their spaces alone: a text box gives back plain ones."""
    return one.split() == other.split()


def _values(kind: type[StrEnum]) -> list[str]:
    return [each.value for each in kind]


def _period(text: str) -> Meaning:
    if text.strip():
        parse_period(text)
    return NO_MEANING
