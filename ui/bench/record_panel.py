"""What is done so far: true strengths and vessels live, then the record, newest first."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPlainTextEdit, QVBoxLayout, QWidget

from formulary.bench.events import Recorded, exception_of
from formulary.bench.pouring import poured_together
from formulary.bench.remembering import recorded
from formulary.bench.state import State
from formulary.bench.vessel import ledger_of, lost
from formulary.bench.words import ended, said
from formulary.errors import Refusal
from formulary.messages import Message, message
from ui.bench.reading import Work
from ui.bench.strengths import strengths_said
from ui.context import Context
from ui.widgets.words import hairline, label, set_role, spaced


def _by(happened: Recorded, context: Context) -> str:
    """Return who did it; of what was on paper first, also who entered it."""
    if happened.original is None:
        return happened.person
    return context.text("ui_bench.log.entered", doer=happened.doer, person=happened.person)


def _what(happened: Recorded, state: State) -> Message:
    """Return what was done; of an exception who signed it, of what was done alone also why."""
    told = said(happened, state)
    why, signature = exception_of(happened.event), happened.signature
    if why and signature is not None:
        signer = signature.person
        told = message("ui_bench.log.exception", what=told, because=ended(why), signer=signer)
    alone = next((each for each in state.exemptions if each.event == happened.number), None)
    if alone is None:
        return told
    return message("ui_bench.log.alone", what=told, because=ended(alone.because))


class RecordPanel(QWidget):
    """Shows how far it has come."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("panel")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._context = context
        self._lot = ""
        self._lines: list[str] = []
        text = context.text
        self.strengths = label()
        self.vessels = label()
        self.log = QPlainTextEdit()
        self.log.setAccessibleName(text("ui_bench.log.name"))
        self.log.setReadOnly(True)
        self.log.setTabChangesFocus(True)
        self.log.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        set_role(self.log, "told")
        self._heads = {
            each: label(text(f"ui_bench.log.{each}"), "heading")
            for each in ("strengths", "vessels", "name")
        }
        box = QVBoxLayout(self)
        spaced(box, inside=8, around=12)
        box.addWidget(self._heads["strengths"])
        box.addWidget(self.strengths)
        box.addWidget(self._heads["vessels"])
        box.addWidget(self.vessels)
        box.addWidget(hairline())
        box.addWidget(self._heads["name"])
        box.addWidget(self.log, 1)
        for each in (*self._heads.values(), self.strengths, self.vessels):
            each.hide()

    def show_work(self, work: Work) -> None:
        """Show a preparation as it stands; what is told already stays."""
        self._show(self.strengths, "strengths", strengths_said(self._context, work.at.state))
        self._show(self.vessels, "vessels", list(self._ledgers(work)))
        self._tell(work)

    def _show(self, place: QWidget, name: str, lines: list[str]) -> None:
        if place is self.strengths:
            self.strengths.setText("\n".join(lines))
        else:
            self.vessels.setText("\n".join(lines))
        place.setVisible(bool(lines))
        self._heads[name].setVisible(bool(lines))

    def _tell(self, work: Work) -> None:
        """Put what is new on top; of another preparation, all of it."""
        if self._lot != work.lot or len(self._lines) > len(work.at.events):
            self._lines = []
        for event in work.at.events[len(self._lines) :]:
            happened = recorded(event)
            line = message(
                "ui_bench.log.line",
                number=happened.number,
                what=_what(happened, work.at.state),
                time=f"{happened.done_at:%H:%M}",
                person=_by(happened, self._context),
            )
            self._lines.append(self._context.said(line))
        self._lot = work.lot
        self._heads["name"].setVisible(bool(self._lines))
        self.log.setPlainText("\n\n".join(reversed(self._lines)))

    def _ledgers(self, work: Work) -> Iterator[str]:
        for vessel in work.at.state.vessels:
            try:
                yield self._ledger(work, vessel.name)
            except Refusal as refusal:
                yield self._context.said(refusal.message)

    def _ledger(self, work: Work, name: str) -> str:
        """Say what is in a vessel, and what left it where it was weighed since."""
        text, state, plan = self._context.text, work.at.state, work.at.job.plan
        own, others = ledger_of(state, plan, name), poured_together(state, name)
        ledger = ledger_of(state, plan, name, others)
        told = text("ui_bench.log.vessel", vessel=name, tare=own.tare, net=own.expected)
        if others:
            met = text("ui_bench.log.together", others=others, net=ledger.expected)
            told = f"{told} {met}"
        if ledger.gross is None or not work.weighed_since(name):
            return told
        gone = text("ui_bench.log.weighed", gross=ledger.gross, lost=lost(ledger).result)
        return f"{told} {gone}"
