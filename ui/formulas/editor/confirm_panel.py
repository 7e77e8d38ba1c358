"""Beside the editor: whether it adds up, what is still wrong, and the acts that end editing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from formulary.finding import Finding, Severity
from formulary.messages import Message, message
from formulary.review.adding_up import OF_SUM, field_of
from formulary.scaling.balance_sheet import BalanceSheet
from ui.context import Context
from ui.formulas.editor.checking import Check
from ui.formulas.editor.tables import AREA
from ui.widgets.finding_list import FindingList
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, scrolled, set_role, spaced


class ConfirmPanel(QWidget):
    """Shows how the draft stands; its signals are the acts."""

    confirm_wanted = Signal(str)
    discard_wanted = Signal()
    close_wanted = Signal()
    trouble_wanted = Signal()
    undo_wanted = Signal()
    redo_wanted = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("panel")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._context = context
        text = context.text
        self.state = label(role="note")
        self.sum = label()
        self._of_check: tuple[Finding, ...] = ()
        self._of_review: tuple[Finding, ...] = ()
        self.findings = FindingList(context.said, leads=True)
        self.reason = QLineEdit()
        self.reason.setAccessibleName(text(f"{AREA}.reason"))
        self._reason_words = label(text(f"{AREA}.reason"), "quiet")
        self._make_actions()
        self._lay_out()

    def begin(self, *, new: bool) -> None:
        """Begin with a formula; a new one needs no reason."""
        self.reason.clear()
        self.reason.setVisible(not new)
        self._reason_words.setVisible(not new)
        self.calm_down()

    def show_check(self, check: Check) -> None:
        """Show the sum, what is wrong and what is easily overlooked."""
        sheet = check.sheet
        found = [Finding(Severity.STOP, each.message, each.field or "") for each in check.troubles]
        of_sum = sheet.findings if sheet is not None else ()
        placed = [replace(each, field=field_of(each.field)) for each in of_sum]
        self._of_check = (*found, *placed, *_overlooked(check))
        self._show_findings()
        if sheet is None:
            self.sum.setText(self._context.text(f"{AREA}.sum_unknown"))
            set_role(self.sum, "quiet")
            return
        set_role(self.sum, "inside" if sheet.closes else "stop")
        self.sum.setText(self._context.said(_sum_said(sheet)))

    def show_review(self, findings: Iterable[Finding]) -> None:
        """Show what the review finds; the sum is told by the check already."""
        self._of_review = tuple(each for each in findings if each.rule not in OF_SUM)
        self._show_findings()

    @property
    def loudest(self) -> str:
        """The field of the loudest finding that is more than a note."""
        loud = (each.field for each in self.findings.shown if each.severity is not Severity.NOTE)
        return next(filter(None, loud), "")

    def _show_findings(self) -> None:
        self.findings.show_findings([*self._of_check, *self._of_review])
        self.go_to.setEnabled(bool(self.loudest))

    def show_steps(self, *, undo: bool, redo: bool) -> None:
        """Show whether there is anything to take back or do again."""
        self.undo.setEnabled(undo)
        self.redo.setEnabled(redo)

    def set_live(self, *, live: bool) -> None:
        """Let the keys of the editor work, or leave them to the page."""
        self.confirm.setEnabled(live)
        if not live:
            for each in (self.undo, self.redo, self.go_to):
                each.setEnabled(False)

    def calm_down(self) -> None:
        """Take the question back whether to throw the draft away."""
        self._sure = False
        self._discard.setText(self._context.text(f"{AREA}.discard"))

    def _make_actions(self) -> None:
        text = self._context.text
        self.confirm = action(self, text(f"{AREA}.confirm"), "Ctrl+Return", self._confirm)
        self.undo = action(self, text(f"{AREA}.undo"), "Ctrl+Z", self.undo_wanted.emit)
        self.redo = action(self, text(f"{AREA}.redo"), "Ctrl+Shift+Z|Ctrl+Y", self.redo_wanted.emit)
        self.go_to = action(self, text(f"{AREA}.go_to"), "F8", self.trouble_wanted.emit)
        self._close = action(self, text(f"{AREA}.close"), "", self.close_wanted.emit)
        self._discard = action(self, text(f"{AREA}.discard"), "", self._ask_or_discard)

    def _lay_out(self) -> None:
        inner = QWidget()
        box = QVBoxLayout(inner)
        spaced(box, inside=8, around=12)
        box.addWidget(label(self._context.text(f"{AREA}.heading"), "heading"))
        for widget in (self.state, self.sum, self.findings):
            box.addWidget(widget)
        box.addStretch(1)
        box.addLayout(_row(button(self.go_to), button(self.undo), button(self.redo)))
        box.addWidget(self._reason_words)
        box.addWidget(self.reason)
        box.addWidget(button(self.confirm, accent=True))
        box.addLayout(_row(button(self._close, keys="Esc"), button(self._discard)))
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(scrolled(inner, self._context.text(f"{AREA}.findings")))

    def _confirm(self) -> None:
        self.confirm_wanted.emit(self.reason.text().strip())

    def _ask_or_discard(self) -> None:
        if self._sure:
            self.discard_wanted.emit()
            return
        self._sure = True
        self._discard.setText(self._context.text(f"{AREA}.discard_sure"))


def _overlooked(check: Check) -> Iterator[Finding]:
    if check.roleless:
        yield Finding(Severity.NOTE, message(f"{AREA}.roleless", n=check.roleless))


def _sum_said(sheet: BalanceSheet) -> Message:
    total = sheet.total or sheet.sum
    if total is None:
        return message(f"{AREA}.{'sum_open' if sheet.closes else 'adds_up_nowhere'}")
    return message(f"{AREA}.{'adds_up' if sheet.closes else 'adds_not_up'}", total=total)


def _row(*widgets: QWidget) -> FlowLayout:
    row = FlowLayout()
    for widget in widgets:
        row.addWidget(widget)
    return row
