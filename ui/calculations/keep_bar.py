"""With what a calculation is kept: a lot or a formula, and a note."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.errors import FormularyError
from formulary.kept_calculation import KeptCalculation
from ui import theme
from ui.calculations.answer import Answer
from ui.context import Context, Topic
from ui.forms.signed_text import SignedText
from ui.signs import Sign
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_calculations.keep"


class KeepBar(QWidget):
    """Hidden until it is asked for; ``done`` when it is put away again.

    ``kept`` tells the question and with what it was kept.
    """

    done = Signal()
    kept = Signal(object, str)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._answer: Answer | None = None
        text = context.text
        self.subject, self.note = QLineEdit(), QLineEdit()
        self.refusal = SignedText(context, Sign.OCTAGON, "stop")
        self.keep = action(self, text(f"{AREA}.keep"), "Ctrl+Return", self._keep)
        self.cancel = action(self, text(f"{AREA}.cancel"), "", self.put_away)
        box = QVBoxLayout(self)
        spaced(box, inside=6)
        box.setContentsMargins(0, 0, 0, theme.px(12))
        for name, edit in (("subject", self.subject), ("note", self.note)):
            said = label(text(f"{AREA}.{name}"), "quiet")
            said.setBuddy(edit)
            edit.setAccessibleName(text(f"{AREA}.{name}"))
            edit.setPlaceholderText(text(f"{AREA}.{name}_example"))
            edit.returnPressed.connect(self._keep)
            box.addWidget(said)
            box.addWidget(edit)
        box.addWidget(self.refusal)
        row = FlowLayout()
        row.addWidget(button(self.keep, accent=True))
        row.addWidget(button(self.cancel, keys="Esc"))
        box.addLayout(row)
        self.refusal.say([])
        self.hide()

    def ask_for(self, answer: Answer) -> None:
        """Ask with what an answer is kept."""
        self._answer = answer
        self.refusal.say([])
        self.show()
        self.subject.setFocus()
        self.subject.selectAll()

    def _keep(self) -> None:
        answer, subject, note = self._answer, self.subject.text().strip(), self.note.text()
        if answer is None:
            return
        if not subject:
            self.refusal.say([self._context.text(f"{AREA}.subject_needed")])
            self.subject.setFocus()
            return
        name, typed = answer.question.calculation.name, dict(answer.question.typed)

        def keep(desk: Desk) -> KeptCalculation:
            from formulary.verbs.keep_calculation import keep_calculation

            return keep_calculation(desk, name, typed, subject, note)

        self._context.do(
            keep,
            lambda _: self._kept(answer, subject),
            changes=(Topic.CALCULATIONS,),
            failed=self._failed,
        )

    def _kept(self, answer: Answer, subject: str) -> None:
        self.kept.emit(answer.question, subject)
        self._context.say.tell(f"{AREA}.kept", what=subject)
        self.note.clear()
        self.put_away()

    def _failed(self, trouble: FormularyError) -> None:
        self.refusal.say([self._context.said(trouble.message)])
        self.subject.setFocus()

    def put_away(self) -> None:
        """Hide without keeping anything."""
        self.hide()
        self.done.emit()
