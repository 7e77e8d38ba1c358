"""The answer beside the inputs: result, picture, working, and what holds for it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.calculating.describing import Calculation
from formulary.errors import FormularyError
from formulary.quantity.writing import unbroken
from ui import signs
from ui.calculations.answer import Answer, figures, steps
from ui.calculations.pictures import drawing_of
from ui.calculations.pictures.picture import Picture
from ui.calculations.results import Results
from ui.calculations.working import Working
from ui.context import Context
from ui.forms.signed_text import SignedText
from ui.widgets.finding_list import FindingList
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import button, hairline, label, spaced

AREA = "ui_calculations"


class AnswerView(QWidget):
    """Shows an answer, what is still needed for one, or why there is none."""

    def __init__(self, context: Context, acts: Sequence[QAction]) -> None:
        super().__init__()
        self._context = context
        self.answer: Answer | None = None
        self.waiting = label(role="quiet")
        self.refusal = SignedText(context, signs.Sign.OCTAGON, "stop")
        self.results = Results()
        self.picture = Picture(context.text(f"{AREA}.picture.name"))
        self.working = Working(context)
        self.findings = FindingList(context.said)
        self.caution = SignedText(context, signs.Sign.TRIANGLE, "quiet")
        self.source, self.limits = label(role="note"), label(role="note")
        self._answered = self._answered_part(acts)
        box = QVBoxLayout(self)
        spaced(box, inside=12)
        for widget in (self.waiting, self.refusal, self.results, self.findings, self.caution):
            box.addWidget(widget)
        box.addWidget(self._answered)
        box.addWidget(hairline())
        box.addWidget(self.source)
        box.addWidget(self.limits)
        box.addStretch(1)

    def show_calculation(self, calculation: Calculation) -> None:
        """Show what holds for a calculation, whatever is typed."""
        caution, source, limits = (
            unbroken(self._context.said(calculation.text(part)))
            for part in ("caution", "source", "limits")
        )
        self.caution.say([caution])
        self.source.setText(self._line("source", source))
        self.limits.setText(self._line("limits", limits))

    def wait_for(self, sentence: str) -> None:
        """Show what is still needed."""
        self._show(None, sentence)

    def refuse(self, trouble: FormularyError) -> None:
        """Show why these inputs have no answer."""
        self._show(None, "")
        self.refusal.say([unbroken(self._context.said(trouble.message))])

    def show_answer(self, answer: Answer) -> None:
        """Show a result with its picture and its working."""
        catalogue = self._context.catalogue
        self._show(answer, "")
        self.results.show_figures(tuple(figures(answer, catalogue)))
        self.picture.show_drawing(drawing_of(answer, catalogue))
        self.working.show_lines(steps(answer, catalogue))
        self.findings.show_findings(answer.outcome.findings if answer.outcome else ())

    def _show(self, answer: Answer | None, sentence: str) -> None:
        self.answer = answer
        self.waiting.setText(sentence)
        self.waiting.setVisible(bool(sentence))
        self.refusal.say([])
        self._answered.setVisible(answer is not None)
        if answer is None:
            self.results.show_figures(())
            self.findings.show_findings(())

    def _answered_part(self, acts: Sequence[QAction]) -> QWidget:
        part = QWidget()
        box = QVBoxLayout(part)
        spaced(box, inside=12)
        box.addWidget(self.picture)
        box.addWidget(label(self._context.text(f"{AREA}.working"), "heading"))
        box.addWidget(self.working)
        row = FlowLayout()
        for place, each in enumerate(acts):
            row.addWidget(button(each, accent=not place))
        box.addLayout(row)
        part.hide()
        return part

    def _line(self, name: str, value: str) -> str:
        text = self._context.text
        return text(f"{AREA}.line", name=text(f"{AREA}.{name}"), value=value)
