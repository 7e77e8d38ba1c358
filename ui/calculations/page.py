"""The page *Calculations*: the list on the left, the calculation or the tables beside it."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QApplication, QHBoxLayout, QStackedWidget, QWidget

from formulary.calculating.help_text import as_markdown, help_text
from formulary.calculating.registry import calculation_named
from formulary.desk import Desk
from formulary.errors import FormularyError
from formulary.kept_calculation import KeptCalculation
from formulary.papers.done_sum import Sum
from ui.calculations import delivery
from ui.calculations.answer import Answer, Question
from ui.calculations.entries import TABLES
from ui.calculations.index import Index
from ui.calculations.not_found import NotFound
from ui.calculations.paper import Paper
from ui.calculations.recent import remember
from ui.calculations.sheet import Sheet
from ui.calculations.tables_view import TablesView
from ui.calculations.units import given_again
from ui.context import Context
from ui.files import PDF, ask_to_save
from ui.forms.leaf import fit_index, leaf
from ui.papers.printers import ask_printer
from ui.widgets.words import action, spaced

AREA = "ui_calculations"
INDEX_WIDTH = 320


class CalculationsPage(QWidget):
    """Find a calculation, type its figures, read the result with its working."""

    help_page = "calculations"

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._used = ""
        self._kept: tuple[Question, str] | None = None
        self._make_actions()
        self.index = Index(context)
        self.sheet = Sheet(context, (self.copy, self.print, self.save, self.keep))
        self.tables = TablesView(context)
        self.not_found = NotFound(context)
        self._lay_out()
        self.index.chosen.connect(self._choose)
        self.index.missed.connect(self._miss)
        self.not_found.wanted.connect(self.index.look_for)
        self.index.entered.connect(self._enter)
        self.sheet.worked.connect(self._worked)
        self.sheet.keeping.done.connect(self.sheet.inputs.enter)
        self.sheet.keeping.kept.connect(self._was_kept)
        self.sheet.view.working.copy_wanted.connect(self._copy)
        self._choose(self.index.current())

    def take(self, subject: object) -> None:
        """Show the calculation of a name, or one that was kept, with what it was given."""
        if isinstance(subject, KeptCalculation):
            self.index.choose(subject.calculation)
            self.sheet.inputs.fill(given_again(subject, self._context.catalogue.decimal_sign))
            self._find_keeper(subject)
            self._enter()
        elif isinstance(subject, str):
            self.index.choose(subject)
            self._enter()

    def _find_keeper(self, kept: KeptCalculation) -> None:
        """Find out what it is kept with, for its print as long as nothing else is typed."""
        calculation = self.sheet.calculation
        if calculation is None:
            return
        sign = self._context.catalogue.decimal_sign
        question = Question(calculation, self.sheet.inputs.typed(), sign)

        def find(desk: Desk) -> str:
            from formulary.verbs.keep_calculation import keeper_of

            return keeper_of(desk.store, kept)

        self._context.do(find, lambda what: self._was_kept(question, what))

    def help_in_view(self) -> str:
        """Return the help on the calculation in view as Markdown, "" where there is none."""
        calculation = self.sheet.calculation
        if calculation is None or not self._in_view():
            return ""
        return as_markdown(help_text(calculation, self._context.catalogue))

    def shown(self) -> None:
        """Take the cursor to the search field, unless it is on the page already."""
        focused = QApplication.focusWidget()
        if focused is None or not self.isAncestorOf(focused):
            self.index.search.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the calculation enough room."""
        super().resizeEvent(event)
        fit_index(self.index, event.size().width(), INDEX_WIDTH)

    def save_to(self, path: Path) -> None:
        """Write the working as a PDF."""
        done = self._as_sum()
        if done is not None:
            self._context.do(
                lambda desk: delivery.write_pdf(path, delivery.pages_as_pdf(desk, done)[0]),
                lambda _: self._context.say.tell(f"{AREA}.saved", place=str(path)),
            )

    def print_to(self, printer: QPrinter) -> None:
        """Print the working on the printer that was chosen."""
        done = self._as_sum()
        if done is not None:
            self._context.do(
                lambda desk: delivery.pages_as_pdf(desk, done),
                lambda made: self._put_on(printer, done.title, *made),
            )

    def _make_actions(self) -> None:
        text = self._context.text
        self.copy = action(self, text(f"{AREA}.copy"), "Ctrl+Shift+C", self._copy)
        self.print = action(self, text(f"{AREA}.print"), "Ctrl+P", self._print)
        self.save = action(self, text(f"{AREA}.save"), "Ctrl+E", self._save)
        self.keep = action(self, text(f"{AREA}.keep.ask"), "Ctrl+Shift+K", self._ask_to_keep)
        action(self, text(f"{AREA}.to_recent"), "Ctrl+R", self._to_recent)
        action(self, text(f"{AREA}.to_search"), "Esc", self._step_back)

    def _lay_out(self) -> None:
        self._right = QStackedWidget()
        self._leaf = leaf(self.sheet)
        self._right.addWidget(self._leaf)
        self._right.addWidget(self.tables)
        self._right.addWidget(self.not_found)
        row = QHBoxLayout(self)
        spaced(row, inside=0)
        row.addWidget(self.index)
        row.addWidget(self._right, 1)

    def _choose(self, name: str) -> None:
        # The next answer counts as a new use, even of the same calculation.
        self._used = ""
        tables = name == TABLES
        self._right.setCurrentWidget(self.tables if tables else self._leaf)
        if tables:
            self.tables.show_tables()
        elif name:
            self.sheet.show_calculation(calculation_named(name))
            self._leaf.verticalScrollBar().setValue(0)

    def _miss(self, typed: str) -> None:
        """Put the calculation away that doesn't answer what is looked for."""
        self.not_found.show_miss(typed, self.index.near())
        self._right.setCurrentWidget(self.not_found)

    def _in_view(self) -> bool:
        return self._right.currentWidget() is self._leaf

    def _answer(self) -> Answer | None:
        """Return the answer in view."""
        return self.sheet.view.answer if self._in_view() else None

    def _enter(self) -> None:
        if self.index.current() == TABLES:
            self.tables.setFocus()
        else:
            self.sheet.inputs.enter()

    def _step_back(self) -> None:
        if self.sheet.keeping.isVisible():
            self.sheet.keeping.put_away()
            return
        self.index.search.setFocus()
        self.index.search.selectAll()

    def _to_recent(self) -> None:
        self.index.recent.setFocus()
        if self.index.recent.isEnabled():
            self.index.recent.showPopup()

    def _worked(self, name: str) -> None:
        # What was said of an older working, or of none, isn't true beside this one.
        self._context.say.forget_news()
        if name != self._used:
            self._used = name
            remember(name)
            self.index.show_recent()

    # What is done with a working

    def _paper(self) -> Paper | None:
        answer = self._answer()
        if answer is None:
            self._context.say.tell(f"{AREA}.no_working")
            return None
        return Paper(answer, self._context.catalogue)

    def _as_sum(self) -> Sum | None:
        """Return the working for a record on paper, with what it was kept with."""
        paper, answer = self._paper(), self._answer()
        if paper is None or answer is None:
            return None
        question, what = self._kept or (None, "")
        return paper.as_sum(what if question == answer.question else "")

    def _was_kept(self, question: Question, what: str) -> None:
        self._kept = (question, what)

    def _put_on(self, printer: QPrinter, title: str, pdf: bytes, count: int) -> None:
        try:
            delivery.print_on(printer, title, pdf, count)
        except FormularyError as trouble:
            self._context.say.refuse(trouble)

    def _ask_to_keep(self) -> None:
        answer = self._answer()
        if answer is None:
            self._context.say.tell(f"{AREA}.no_working")
        else:
            self.sheet.keeping.ask_for(answer)
            # It stands at the top, out of view for one who reads the working.
            self._leaf.verticalScrollBar().setValue(0)

    def _copy(self) -> None:
        paper = self._paper()
        if paper is not None:
            delivery.copy(paper.plain())
            self._context.say.tell(f"{AREA}.copied")

    def _print(self) -> None:
        """Let a printer be chosen, then print."""
        if self._as_sum() is None:
            return
        ask_printer(self, self.print_to)

    def _save(self) -> None:
        """Ask where the PDF goes."""
        if self._as_sum() is None:
            return
        title = self._context.text(f"{AREA}.save_title")
        ask_to_save(self, title, f"{self.index.current()}.pdf", self.save_to, PDF)
