"""What is asked before an act is done: its fields, then the PIN where it is signed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.quantity.parsing import read_amount
from formulary.quantity.units import Dimension
from ui.context import Context, Topic
from ui.forms import understanding
from ui.forms.fields import FormField, Kind
from ui.forms.form import Form
from ui.stock.acts import FAILED, PASSED, StockAct, Values
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.quantity_edit import Meaning
from ui.widgets.words import action, button, label, spaced

AREA = "ui_stock"


@dataclass(frozen=True, slots=True)
class Target:
    """What an act is done to: its id, and what the signature's sentence calls it."""

    id: str
    name: str


class ActPanel(QWidget):
    """Asks for one act at a time; ``done`` tells that it was done, while it still has the focus."""

    done = Signal(str)
    dropped = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._act: StockAct | None = None
        self._target = Target("", "")
        self.heading = label(role="heading")
        self.form: Form | None = None
        self.confirm = action(self, context.text(f"{AREA}.do"), "Ctrl+Return", self._confirmed)
        self.never_mind = action(self, context.text(f"{AREA}.never_mind"), "", self._drop)
        self._buttons = FlowLayout()
        self._confirm_button = button(self.confirm, accent=True)
        self._confirm_button.setAutoDefault(True)
        self._buttons.addWidget(self._confirm_button)
        self._buttons.addWidget(button(self.never_mind, keys="Esc"))
        self._box = QVBoxLayout(self)
        spaced(self._box, inside=8)
        self._box.addWidget(self.heading)
        self._box.addLayout(self._buttons)
        self.hide()

    @property
    def asking(self) -> bool:
        """Whether something is being asked for."""
        return self._act is not None

    def begin(self, act: StockAct, target: Target) -> None:
        """Ask for what an act needs; where that is nothing, do it or ask for the PIN at once."""
        self.ask_nothing()
        self._act, self._target = act, target
        if not act.fields:
            self._do(act, {})
            return
        words = self._context.text(f"{AREA}.act.{act.name}")
        self.heading.setText(self._context.text(f"{AREA}.asking", act=words, name=target.name))
        self.confirm.setText(words)
        self.form = Form(self._context, AREA, [self._field(name) for name in act.fields])
        self._box.insertWidget(1, self.form)
        for name in act.fields:
            if self._field(name).kind is Kind.LINE:
                self.form.entered(name).connect(self._confirmed)
        self.show()
        self.form.inputs[act.fields[0]].setFocus()

    def ask_nothing(self) -> None:
        """Take the question back."""
        self._act = None
        self.hide()
        if self.form is not None:
            self._box.removeWidget(self.form)
            self.form.hide()
            self.form.deleteLater()
            self.form = None

    def _field(self, name: str) -> FormField:
        dimensions = (Dimension.MASS, Dimension.VOLUME, Dimension.PIECES)
        match name:
            case "amount":
                read = understanding.amount(self._context, *dimensions)
                return FormField("amount", understand=read, required=True)
            case "found":
                return FormField("found", understand=self._found, required=True)
            case "result":
                return FormField("result", Kind.CHOICE, choices=self._results)
            case "place":
                return FormField("place")
            case _:
                return FormField(name, required=True)

    def _found(self, text: str) -> Meaning:
        """Read an amount that may be nothing; a bare number becomes a question."""
        house, catalogue = self._context.house, self._context.catalogue
        read = read_amount(text, house.decimal_sign, catalogue.words)
        return Meaning(None, read.question, read.rewritten or catalogue.written(read.amount))

    def _results(self) -> list[tuple[str, str]]:
        return [(self._context.text(f"{AREA}.result.{each}"), each) for each in (PASSED, FAILED)]

    def _drop(self) -> None:
        self.ask_nothing()
        self.dropped.emit()

    def _confirmed(self) -> None:
        if self._act is None or self.form is None:
            return
        faulty = self.form.first_trouble()
        if faulty:
            self.form.inputs[faulty].setFocus()
            return
        self._do(self._act, self.form.values())

    def _do(self, act: StockAct, values: Values) -> None:
        target = self._target
        changes = (Topic.STOCK,)
        if act.signed:
            meaning = self._context.text(f"{AREA}.signing.{act.name}", name=target.name)
            self._context.sign(
                act.signed,
                meaning,
                lambda desk, pin: act.run(desk, target.id, values, pin),
                self._finished(act),
                changes=changes,
            )
        else:
            self._context.do(
                lambda desk: act.run(desk, target.id, values, ""),
                self._finished(act),
                changes=changes,
            )

    def _finished(self, act: StockAct) -> Callable[[object], None]:
        name = self._target.name

        def finished(_: object) -> None:
            self.ask_nothing()
            words = self._context.text(f"{AREA}.act.{act.name}")
            self._context.say.tell(f"{AREA}.done", act=words, name=name)
            self.done.emit(act.name)

        return finished
