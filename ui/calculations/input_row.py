"""One input of a calculation: its name, how it is typed, and what is wrong with it below."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from formulary.calculating.describing import Calculation, Input, Kind
from formulary.calculating.reading import read_input
from formulary.calculating.saying import in_house_sign, unit_said
from formulary.messages import Message
from ui.calculations.suggestions import Suggestions
from ui.calculations.units import (
    common_unit,
    first_unit,
    offered_units,
    typed_unit,
    with_unit,
    without_units,
)
from ui.context import Context
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.quantity_edit import NO_MEANING, Meaning, QuantityEdit
from ui.widgets.words import action, label, set_role, spaced

AREA = "ui_calculations"


class InputRow(QWidget):
    """An input; ``edited`` tells each change by the person."""

    edited = Signal()

    def __init__(self, context: Context, calculation: Calculation, described: Input) -> None:
        super().__init__()
        self._context = context
        self.described = described
        self.title = context.said(calculation.input_said(described.name))
        box = QVBoxLayout(self)
        spaced(box, inside=2)
        box.addWidget(label(self.title))
        if need := self._need():
            box.addWidget(label(need, "note"))
        self.row = QHBoxLayout()
        spaced(self.row, inside=8)
        box.addLayout(self.row)

    @property
    def sound(self) -> bool:
        """Whether what is typed can be read, by itself and together with the rest."""
        raise NotImplementedError

    @property
    def touched(self) -> bool:
        """Whether the person put something in here."""
        raise NotImplementedError

    def show_use(self, *, touched: bool) -> None:
        """Show in an empty field its example, or in a touched form what is used for it."""

    def typed(self) -> str:
        """Return the value as the calculation reads it, "" for none."""
        raise NotImplementedError

    def set_text(self, text: str) -> None:
        """Put a text into the field without telling anybody."""
        raise NotImplementedError

    def restore(self) -> None:
        """Become as at first, without telling anybody."""
        self.set_text("")

    def show_trouble(self, trouble: Message | None) -> None:
        """Show what is wrong with the value, or that nothing is."""
        raise NotImplementedError

    def reread(self) -> None:
        """Judge the value by itself again, since something else changed."""
        raise NotImplementedError

    def _need(self) -> str:
        text, described = self._context.text, self.described
        words = [text(f"{AREA}.several")] if described.many else []
        if described.default and not described.choices:
            default = in_house_sign(described.default, self._context.catalogue.decimal_sign)
            words.append(text(f"{AREA}.otherwise", default=default))
        elif described.optional:
            words.append(text(f"{AREA}.optional"))
        return "; ".join(words)


class LineRow(InputRow):
    """A line with a chooser of units; a unit typed in the line is the one that counts."""

    def __init__(self, context: Context, calculation: Calculation, described: Input) -> None:
        super().__init__(context, calculation, described)
        self._sign = context.catalogue.decimal_sign
        self.edit = QuantityEdit(self.title, self._understood, context.said)
        self._example = self._example_of(calculation)
        self._suggestions: Suggestions | None = None
        self.units = offered_units(described)
        self._first_unit = first_unit(calculation, described) if self.units else ""
        self.unit = ChoiceBox(context.text(f"{AREA}.unit_of", name=self.title))
        # Tab goes on to the next figure; a figure typed into a list of units would be lost.
        self.unit.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.row.addWidget(self.edit, 1)
        self.setFocusProxy(self.edit)
        self._offer_units()
        self._offer_names()
        self.edit.edited.connect(self._edited)
        self.edit.line.returnPressed.connect(self._go_on)
        self.unit.activated.connect(self._unit_chosen)
        self.unit.closed.connect(self._back_to_figure)
        self.show_use(touched=False)

    @property
    def sound(self) -> bool:
        return self.edit.sound

    @property
    def touched(self) -> bool:
        return bool(self.edit.text().strip())

    def show_use(self, *, touched: bool) -> None:
        line = self.edit.line
        line.setPlaceholderText(self._used() if touched else self._example)
        if line.property("used") != touched:
            line.setProperty("used", touched)
            line.style().unpolish(line)
            line.style().polish(line)

    def typed(self) -> str:
        return with_unit(self.edit.text().strip(), self._unit())

    def set_text(self, text: str) -> None:
        unit = common_unit(text)
        if unit and unit in self.units:
            self.unit.choose(unit)
            text = without_units(text)
        self.edit.set_text(text)

    def restore(self) -> None:
        if self.units:
            self.unit.choose(self._first_unit)
        self.edit.set_text("")

    def show_trouble(self, trouble: Message | None) -> None:
        self.edit.show_trouble(trouble)

    def reread(self) -> None:
        self.edit.reread()

    def _unit(self) -> str:
        return str(self.unit.currentData() or "")

    def _offer_units(self) -> None:
        said = [(self._unit_said(each), each) for each in self.units]
        self.unit.fill(said)
        if self.units:
            self.unit.choose(self._first_unit)
        if len(self.units) > 1:
            self.unit.setMinimumContentsLength(6)
            self.row.addWidget(self.unit, alignment=Qt.AlignmentFlag.AlignTop)
            action(self, self.unit.accessibleName(), "Alt+Down|F4", self._open_units)
            return
        self.unit.setParent(self)
        self.unit.hide()
        if self.units:
            only = label(said[0][0], "quiet", wrap=False)
            # Beside the field itself, also while a sentence stands below that.
            only.setMinimumHeight(self.edit.line.sizeHint().height())
            self.row.addWidget(only, alignment=Qt.AlignmentFlag.AlignTop)

    def _offer_names(self) -> None:
        names = self.described.suggested()
        if names:
            self._suggestions = Suggestions(names, self)
            self._suggestions.activated.connect(self._name_chosen)
            self.edit.line.setCompleter(self._suggestions)

    def _go_on(self) -> None:
        """Go to the next field, unless Enter takes up a proposed name."""
        if self._suggestions is None or not self._suggestions.choosing:
            self.focusNextChild()

    def _name_chosen(self, text: str) -> None:
        self.edit.line.setText(text)
        self.edited.emit()

    def _unit_said(self, unit: str) -> str:
        bare = self._context.text(f"{AREA}.no_unit")
        return unit_said(unit, self._context.catalogue) if unit else bare

    def _used(self) -> str:
        if not self.described.default:
            return self._context.text(f"{AREA}.nothing_used")
        default = in_house_sign(self.described.default, self._sign)
        return self._context.text(f"{AREA}.used", default=default)

    def _example_of(self, calculation: Calculation) -> str:
        shown = dict(calculation.examples).get(self.described.name, self.described.default)
        return in_house_sign(shown, self._sign)

    def _understood(self, text: str) -> Meaning:
        read_input(self.described, with_unit(text.strip(), self._unit()), self._sign)
        return NO_MEANING

    def _edited(self, _: str) -> None:
        self._follow_typed_unit()
        self.edited.emit()

    def _follow_typed_unit(self) -> None:
        unit = typed_unit(self.edit.text())
        if unit in self.units and unit:
            self.unit.choose(unit)

    def _unit_chosen(self) -> None:
        self.edit.set_text(without_units(self.edit.text()))
        self._back_to_figure()
        self.edited.emit()

    def _back_to_figure(self) -> None:
        self.edit.line.setFocus()
        self.edit.line.selectAll()

    def _open_units(self) -> None:
        self.unit.setFocus()
        self.unit.showPopup()


class ChoiceRow(InputRow):
    """One of a few words."""

    def __init__(self, context: Context, calculation: Calculation, described: Input) -> None:
        super().__init__(context, calculation, described)
        self.box = ChoiceBox(self.title)
        self.box.fill(self._choices())
        self.note = label(role="stop")
        self.note.hide()
        self.row.addWidget(self.box, 1)
        layout = self.layout()
        if layout is not None:
            layout.addWidget(self.note)
        self.setFocusProxy(self.box)
        self.box.currentIndexChanged.connect(lambda _: self.edited.emit())

    @property
    def sound(self) -> bool:
        return self.note.isHidden()

    @property
    def touched(self) -> bool:
        return bool(self.typed())

    def typed(self) -> str:
        return str(self.box.currentData() or "")

    def set_text(self, text: str) -> None:
        self.box.choose(text)

    def show_trouble(self, trouble: Message | None) -> None:
        text = self._context.said(trouble) if trouble is not None else ""
        set_role(self.box, "stop" if text else "")
        self.box.setAccessibleDescription(text)
        self.note.setText(text)
        self.note.setVisible(bool(text))

    def reread(self) -> None:
        self.show_trouble(None)

    def _choices(self) -> Sequence[tuple[str, str]]:
        """Return the words after what holds for none: nothing that matters is chosen at first."""
        choices = [(each, each) for each in self.described.choices]
        return [(self._unchosen(), ""), *choices]

    def _unchosen(self) -> str:
        if default := self.described.default:
            return self._context.text(f"{AREA}.unchosen", default=default)
        return self._context.text(f"{AREA}.{'not_given' if self.described.optional else 'choose'}")


def input_row(context: Context, calculation: Calculation, described: Input) -> InputRow:
    """Return the way to type an input."""
    of_words = described.kinds == (Kind.CHOICE,) and not described.many
    made: Callable[[Context, Calculation, Input], InputRow] = ChoiceRow if of_words else LineRow
    return made(context, calculation, described)
