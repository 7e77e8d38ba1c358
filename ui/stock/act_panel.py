"""What is asked before an act on a lot or container: its fields, then the PIN if it is signed."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal

from formulary.errors import Conflict, FormularyError
from formulary.quantity.parsing import read_amount
from formulary.quantity.units import Dimension
from formulary.verbs.decide_lot import look_acceptable
from formulary.verbs.two_people import UNSIGNED, Signing
from ui.context import Context, Topic
from ui.forms import understanding
from ui.forms.days import typed_day
from ui.forms.fields import FormField, Kind
from ui.sign_in.both_sign import both_sign
from ui.stock.acts import ACCEPT, FAILED, LESS, MORE, PASSED, StockAct, Target, Values
from ui.stock.question import Question
from ui.widgets.quantity_edit import Meaning

AREA = "ui_stock"

_EITHER = ("maker", "grade")
"""Either of them will do."""


class ActPanel(Question):
    """Asks for one act at a time; ``done`` tells that it was done, while it still has the focus.

    ``overtaken`` tells that somebody else changed it meanwhile.
    """

    done = Signal(str)
    overtaken = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self._target = Target("", "")

    def begin(self, act: StockAct, target: Target) -> None:
        """Ask for what an act needs; where that is nothing, do it or ask for the PIN at once."""
        self.ask_nothing()
        self._target = target
        if act is ACCEPT:
            # What is known beforehand is said before the PIN.
            self._context.do(
                lambda desk: look_acceptable(desk, target.id),
                lambda _: self._do(act, {}),
                failed=self._refused,
            )
            return
        if not act.fields:
            self._do(act, {})
            return
        words = self._context.text(f"{AREA}.act.{act.name}")
        heading = self._context.text(f"{AREA}.asking", act=words, name=target.name)
        fields = [self._field(name) for name in act.fields]
        self.ask(heading, words, AREA, fields, lambda values: self._do(act, values))

    def aim_anew(self, target: Target) -> None:
        """Take how the target stands now; what is typed stays, for whoever still finds it right."""
        if target.id == self._target.id:
            self._target = target

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
            case "change":
                return FormField("change", Kind.CHOICE, choices=self._changes)
            case "place" | "until":
                is_day = name == "until"
                read = typed_day if is_day else understanding.anything
                return FormField(name, understand=read, required=is_day)
            case _:
                return FormField(name, required=name not in _EITHER)

    def _found(self, text: str) -> Meaning:
        """Read an amount that may be nothing; a bare number becomes a question."""
        house, catalogue = self._context.house, self._context.catalogue
        read = read_amount(text, house.decimal_sign, catalogue.words)
        return Meaning(None, read.question, read.rewritten or catalogue.written(read.amount))

    def _results(self) -> list[tuple[str, str]]:
        return [(self._context.text(f"{AREA}.result.{each}"), each) for each in (PASSED, FAILED)]

    def _changes(self) -> list[tuple[str, str]]:
        return [(self._context.text(f"{AREA}.change.{each}"), each) for each in (LESS, MORE)]

    def _do(self, act: StockAct, values: Values) -> None:
        target = self._target
        changes = (Topic.STOCK,)
        if act.witnessed and target.controlled:
            both_sign(
                self._context,
                act.witnessed,
                self._meanings(act),
                lambda desk, by: act.run(desk, target, values, by),
                self._finished(act),
                changes=changes,
                refused=self._late,
            )
        elif act.signed:
            meaning = self._meaning(act, target)
            self._context.sign(
                act.signed,
                meaning,
                lambda desk, pin: act.run(desk, target, values, Signing(pin)),
                self._finished(act),
                changes=changes,
                refused=self._late,
            )
        else:
            self._context.do(
                lambda desk: act.run(desk, target, values, UNSIGNED),
                self._finished(act),
                changes=changes,
                failed=self._refused,
            )

    def _refused(self, trouble: FormularyError) -> None:
        self._context.say.refuse(trouble)
        self._late(trouble)

    def _late(self, trouble: FormularyError) -> None:
        if isinstance(trouble, Conflict):
            self.overtaken.emit()

    def _meaning(self, act: StockAct, target: Target) -> str:
        """Return what is signed; whoever accepts a lot is told what isn't identified yet."""
        text, waiting = self._context.text, target.unidentified
        if act is ACCEPT and waiting:
            return text(f"{AREA}.signing.accept_unidentified", name=target.name, n=waiting)
        return text(f"{AREA}.signing.{act.name}", name=target.name)

    def _meanings(self, act: StockAct) -> tuple[str, str]:
        words = self._context.text(f"{AREA}.act.{act.name}")
        return (
            self._context.text(f"{AREA}.both.first", act=words, name=self._target.name),
            self._context.text(f"{AREA}.both.second", act=words, name=self._target.name),
        )

    def _finished(self, act: StockAct) -> Callable[[object], None]:
        name = self._target.name

        def finished(_: object) -> None:
            self.ask_nothing()
            words = self._context.text(f"{AREA}.act.{act.name}")
            self._context.say.tell(f"{AREA}.done", act=words, name=name)
            self.done.emit(act.name)

        return finished
