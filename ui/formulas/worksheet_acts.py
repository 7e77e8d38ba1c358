"""Worksheets of what is scaled: printed or saved, and blanks with lots of their own set aside."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from formulary.verbs.start_preparation import Order
from ui.context import Context, Topic
from ui.forms.fields import FormField, Kind
from ui.stock.question import Question, whole_number
from ui.widgets.menu_button import MenuButton
from ui.widgets.words import action

if TYPE_CHECKING:
    # Papers are loaded with the first one that goes out, not with the window.
    from ui.papers.door import PaperDoor

AREA = "ui_papers"
PRINTER, FILE = "printer", "file"
USUAL_COUNT = "3"


@dataclass(frozen=True, slots=True)
class Scaled:
    """What a worksheet is for: a version by its id and code, and what is to be made of it."""

    version_id: str
    code: str
    order: Order


class WorksheetActs(QObject):
    """Acts of a panel; ``scaled`` returns what is in view, None where it makes no sense yet.

    ``asking`` tells that blanks are being asked for, or no longer.
    """

    asking = Signal()

    def __init__(
        self, context: Context, panel: QWidget, scaled: Callable[[], Scaled | None]
    ) -> None:
        super().__init__(panel)
        self._context, self._panel, self._scaled = context, panel, scaled
        self._made: PaperDoor | None = None
        self.question = Question(context)
        self.menu = MenuButton(panel, context.text(f"{AREA}.menu"), "Ctrl+.")
        acts = (
            ("print", "Ctrl+P", self._print),
            ("save", "Ctrl+Shift+S", self._save),
            ("reserve", "Ctrl+Shift+B", self._ask),
        )
        self.actions = [self._action(*each) for each in acts]
        self.question.dropped.connect(self.asking)

    def offer(self, *, there: bool) -> None:
        """Offer the acts where there is a version to make."""
        for each in (*self.actions, self.menu.open):
            each.setEnabled(there)

    def ask_nothing(self) -> None:
        """Take the question for blanks back."""
        self.question.ask_nothing()
        self.asking.emit()

    def _action(self, name: str, keys: str, slot: Callable[[], None]) -> QAction:
        made = action(self._panel, self._context.text(f"{AREA}.{name}"), keys, slot)
        self.menu.add(made)
        return made

    def _print(self) -> None:
        from ui.papers.worksheets import of_formula

        wanted = self._scaled()
        if wanted is not None:
            self._door().print(of_formula(wanted.version_id, wanted.order))

    def _save(self) -> None:
        from ui.papers.worksheets import of_formula

        wanted = self._scaled()
        if wanted is not None:
            self._door().save(of_formula(wanted.version_id, wanted.order), wanted.code)

    def _ask(self) -> None:
        """Ask how many blanks, why, and where they go."""
        if self._scaled() is None:
            return
        words = self._context.text(f"{AREA}.reserve")
        fields = (
            FormField("count", understand=whole_number, required=True),
            FormField("reason", required=True),
            FormField("to", Kind.CHOICE, choices=self._places, hint=True),
        )
        self.question.ask(words, words, AREA, fields, self._reserve)
        form = self.question.form
        if form is not None:
            form.show_values({"count": USUAL_COUNT, "to": PRINTER})
            self.question.go_to("reason")
        self.asking.emit()

    def _places(self) -> Sequence[tuple[str, str]]:
        return [(self._context.text(f"{AREA}.to.{each}"), each) for each in (PRINTER, FILE)]

    def _reserve(self, values: dict[str, str]) -> None:
        from ui.papers.worksheets import blanks

        wanted = self._scaled()
        if wanted is None:
            return
        count, changes = int(values["count"]), (Topic.PREPARATIONS,)
        draw = blanks(wanted.version_id, wanted.order, count, values["reason"])
        if values["to"] == FILE:
            self._door().save(draw, wanted.code, changes=changes)
        else:
            self._door().print(draw, changes=changes)

    def _door(self) -> PaperDoor:
        if self._made is None:
            from ui.papers.door import PaperDoor

            self._made = PaperDoor(self._context, self._panel)
            self._made.gone.connect(self.ask_nothing)
        return self._made
