"""One calculation: its inputs on the left, the answer beside them, or below where room is short."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from formulary.calculating.describing import Calculation
from ui import theme
from ui.calculations.answer import Answer, Question
from ui.calculations.answer_view import AnswerView
from ui.calculations.inputs import Inputs
from ui.calculations.keep_bar import KeepBar
from ui.calculations.reckoner import Reckoner
from ui.context import Context
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_calculations"
BESIDE = 800
INPUTS_WIDTH, ANSWER_WIDTH = 380, 620


class Sheet(QWidget):
    """Asks anew with every change; ``worked`` tells the name of a calculation that was used."""

    worked = Signal(str)

    def __init__(self, context: Context, acts: Sequence[QAction]) -> None:
        super().__init__()
        self._context = context
        self.calculation: Calculation | None = None
        self.title, self.about = label(role="title"), label(role="quiet")
        self.inputs = Inputs(context)
        self.view = AnswerView(context, acts)
        self.keeping = KeepBar(context)
        self._reckoner = Reckoner(context)
        self.example = action(
            self, context.text(f"{AREA}.example"), "Ctrl+Shift+E", self.inputs.fill_example
        )
        self.empty = action(self, context.text(f"{AREA}.empty"), "Ctrl+Del", self._empty)
        self._lay_out()
        self.inputs.edited.connect(self._ask)
        self._reckoner.answered.connect(self._arrived)

    def show_calculation(self, calculation: Calculation) -> None:
        """Show a calculation as it was left."""
        self.calculation = calculation
        said = self._context.said
        self.title.setText(said(calculation.text("title")))
        self.about.setText(said(calculation.text("about")))
        self.keeping.hide()
        self.inputs.show_calculation(calculation)
        self.view.show_calculation(calculation)
        self._order_tabs()
        self._ask()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the answer beside the inputs where there is room for both."""
        super().resizeEvent(event)
        beside = event.size().width() >= theme.px(BESIDE)
        ways = QBoxLayout.Direction
        self._halves.setDirection(ways.LeftToRight if beside else ways.TopToBottom)
        self.view.results.stack(stacked=not beside)
        width = theme.px(INPUTS_WIDTH) if beside else theme.px(ANSWER_WIDTH)
        self._left.setMaximumWidth(width)
        self._left.setMinimumWidth(theme.px(INPUTS_WIDTH) if beside else 0)

    def _lay_out(self) -> None:
        self._left = QWidget()
        left = QVBoxLayout(self._left)
        spaced(left, inside=12)
        left.addWidget(self.inputs)
        row = FlowLayout()
        self._buttons = [button(each) for each in (self.example, self.empty)]
        for each in self._buttons:
            row.addWidget(each)
        left.addLayout(row)
        left.addStretch(1)
        self.view.setMaximumWidth(theme.px(ANSWER_WIDTH))
        self._halves = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        spaced(self._halves, inside=32)
        self._halves.addWidget(self._left)
        self._halves.addWidget(self.view, 1)
        self._halves.addStretch(0)
        box = QVBoxLayout(self)
        spaced(box, inside=4, around=24)
        box.addWidget(self.title)
        box.addLayout(_narrow(self.about))
        box.addSpacing(theme.px(16))
        box.addLayout(_narrow(self.keeping))
        box.addLayout(self._halves)
        box.addStretch(1)

    def _order_tabs(self) -> None:
        """Let Tab come from the last field to the buttons: the fields are newer than those."""
        stops = [*self.inputs.stops(), *self._buttons]
        for before, after in pairwise(stops):
            self.setTabOrder(before, after)

    def _empty(self) -> None:
        self.inputs.empty()
        self.inputs.enter()

    def _ask(self) -> None:
        """Calculate what is typed, or say what is still needed."""
        if self.calculation is None:
            return
        self._reckoner.forget()
        missing = self.inputs.missing()
        if not self.inputs.touched:
            self.view.wait_for(self._context.text(f"{AREA}.nothing_typed"))
        elif not self.inputs.sound:
            self.view.wait_for(self._context.text(f"{AREA}.unsound"))
        elif missing:
            needed = ", ".join(missing)
            self.view.wait_for(self._context.text(f"{AREA}.missing", needed=needed))
        else:
            sign = self._context.catalogue.decimal_sign
            question = Question(self.calculation, self.inputs.typed(), sign)
            if not self._reckoner.ask(question):
                # An older figure must not stand beside newer inputs, however briefly.
                self.view.wait_for(self._context.text("ui.working"))

    def _arrived(self, answer: Answer) -> None:
        if answer.trouble is None:
            self.view.show_answer(answer)
            self.worked.emit(answer.question.calculation.name)
        elif self.inputs.show_trouble(answer.trouble):
            self.view.wait_for(self._context.text(f"{AREA}.unsound"))
        else:
            self.view.refuse(answer.trouble)


def _narrow(widget: QWidget) -> QBoxLayout:
    """Return a row in which a widget is no wider than the answer.

    Alone in a column, its height would be reckoned for the column's whole width.
    """
    widget.setMaximumWidth(theme.px(ANSWER_WIDTH))
    row = QBoxLayout(QBoxLayout.Direction.LeftToRight)
    row.addWidget(widget, 1)
    row.addStretch(0)
    return row
