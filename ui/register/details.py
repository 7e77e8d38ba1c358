"""One preparation of the register: its plan with the working, and all that happened to it.

No patient and no prescriber: those are shown only where its label is made.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QHeaderView,
    QLabel,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from formulary.bench.kept import Place
from formulary.bench.stages import NEVER_MADE, NOT_BEGUN, named
from formulary.preparation import LabelPrint, Preparation
from formulary.register.filled import contents_said
from formulary.verbs.list_register import mark_of
from ui import theme
from ui.context import Context, PageName
from ui.forms.days import distance, today
from ui.forms.facts import Facts
from ui.forms.kept_calculations import KeptCalculations
from ui.forms.leaf import leaf
from ui.papers.paper_file import save_paper
from ui.register.complaints import Complaints
from ui.register.frozen_plan import FrozenPlan, read_plan
from ui.register.happenings import Happenings
from ui.register.plan_tree import PlanTree
from ui.register.print_text import counted
from ui.register.reading import Made
from ui.register.result_files import ResultFiles
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, set_role, spaced

if TYPE_CHECKING:
    from formulary.desk import Desk
    from formulary.papers.every_paper import Paper

_PRINT_COLUMNS = ("printed_at", "copies", "stock", "language", "printed_by")


class Details(QWidget):
    """Shows a preparation; ``left`` when the person steps back to the list.

    ``trace_wanted`` tells its lot, ``charts_wanted`` its formula and its title.
    """

    left = Signal()
    trace_wanted = Signal(str)
    charts_wanted = Signal(str, str)
    changed = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._lot = self._formula = self._title = ""
        text = context.text
        self.title = label(role="title")
        self.facts = Facts()
        self.plan = PlanTree(context)
        self.below = label(role="note")
        self.kept = KeptCalculations(context)
        self.kept.wanted.connect(lambda kept: context.go(PageName.CALCULATIONS, kept))
        self.happenings = Happenings(context)
        self.results = ResultFiles(context)
        self.complaints = Complaints(context)
        self.complaints.changed.connect(self.changed)
        self.prints = QTreeWidget()
        self.labels = action(self, text("ui_register.labels"), "Ctrl+L", self._go_to_labels)
        # Their keys work from the buttons above, too.
        self.addActions(
            [
                self.plan.working,
                self.complaints.add,
                self.complaints.decide,
                self.results.save,
            ]
        )
        self.trace = action(self, text("ui_register.trace.open"), "Ctrl+T", self._trace)
        self.charts = action(self, text("ui_register.charts.open"), "Ctrl+G", self._chart)
        self.record = action(
            self, text("ui_register.paper.record"), "Ctrl+Shift+P", lambda: self._save("record")
        )
        self.print_record = action(
            self, text("ui_register.paper.print"), "Ctrl+P", self._print_record
        )
        self.label_list = action(
            self, text("ui_register.paper.labels"), "Ctrl+Shift+B", lambda: self._save("labels")
        )
        self.back = action(self, text("ui_register.back"), "Esc", self._step_back)
        self._labels_button = button(self.labels, accent=True)
        self._labels_button.setAutoDefault(True)
        self._furnish_prints()
        self._lay_out()

    @property
    def lot(self) -> str:
        """The lot that is shown, "" for none."""
        return self._lot

    def show_made(self, made: Made) -> None:
        """Show a preparation."""
        again = self._lot == made.preparation.lot
        self._lot, self._title = made.preparation.lot, made.preparation.title
        self._formula = made.preparation.formula_id
        text, one = self._context.text, made.preparation
        number = one.version_number
        self.title.setText(text("ui_register.title", lot=one.lot, title=one.title, number=number))
        plan = read_plan(one.plan, self._context.catalogue, self._context.house)
        self.facts.show_facts(self._facts(made, plan))
        self.plan.show_lines(plan.lines if plan else ())
        self.below.setText("\n".join(self._below(plan)))
        self._show_prints(made.prints)
        self.kept.show_kept(made.kept)
        self.happenings.show_made(made)
        self.results.show_made(made)
        self.complaints.show_made(made)
        (self.complaints.add_button if again else self._labels_button).setFocus()

    def _filled(self, made: Made) -> str:
        nets = [each.net for each in made.jars if each.place is not Place.NOWHERE]
        return self._context.said(contents_said("", nets)) if nets else ""

    def _facts(self, made: Made, plan: FrozenPlan | None) -> list[tuple[str, str]]:
        text, one = self._context.text, made.preparation
        started = text("ui_register.started", at=one.started_at, by=one.started_by)
        return [
            (text("ui_register.ordered"), one.target),
            (text("ui_register.filled"), self._filled(made)),
            (text("ui_register.to_make"), plan.to_make if plan else ""),
            (text("ui_register.total"), plan.total if plan else ""),
            *self._days(one, started),
            (text("ui_register.column.stage"), self._stage(made)),
        ]

    def _stage(self, made: Made) -> str:
        stage = made.preparation.stage
        mark = mark_of(stage, recalled=made.recalled)
        if mark is None:
            return self._context.said(named(stage))
        return self._context.text("ui_register.marked", stage=named(stage), mark=mark)

    def _days(self, one: Preparation, started: str) -> list[tuple[str, str]]:
        """Return the day of making and the last of use; a blank and what was given up have none."""
        text, written = self._context.text, self._context.catalogue.written
        if one.stage in NEVER_MADE:
            return [(text("ui_register.column.made_on"), text("ui_register.not_made", at=started))]
        away = self._context.said(distance(today(self._context), one.use_by))
        made = text("ui_register.not_begun", at=started)
        if one.stage not in NOT_BEGUN:
            made = f"{written(one.made_on)}; {started}"
        return [
            (text("ui_register.column.made_on"), made),
            (text("ui_register.column.use_by"), f"{written(one.use_by)}, {away}"),
        ]

    def _below(self, plan: FrozenPlan | None) -> list[str]:
        if plan is None:
            return [self._context.text("ui_register.no_plan")]
        strengths = [
            self._context.text(
                "ui_register.strength",
                ingredient=each.ingredient,
                declared=each.declared,
                actual=each.actual,
            )
            for each in plan.strengths
        ]
        return [*plan.working, *strengths, *plan.findings]

    def _furnish_prints(self) -> None:
        self.prints.setAccessibleName(self._context.text("ui_register.prints.name"))
        self.prints.setColumnCount(len(_PRINT_COLUMNS))
        names = [self._context.text(f"ui_register.prints.{each}") for each in _PRINT_COLUMNS]
        self.prints.setHeaderLabels(names)
        self.prints.setRootIsDecorated(False)
        set_role(self.prints, "sheet")
        self.prints.setTabKeyNavigation(False)
        self.prints.header().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.prints.setMaximumHeight(theme.px(150))
        self.no_prints = label(self._context.text("ui_register.prints.none"), "quiet")

    def _lay_out(self) -> None:
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside))
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        row = FlowLayout()
        row.addWidget(self._labels_button)
        papers = (self.print_record, self.record, self.label_list)
        for each in (self.trace, self.charts, *papers, self.back, self.plan.working):
            row.addWidget(button(each))
        box.addWidget(self.title)
        box.addWidget(self.facts)
        box.addLayout(row)
        box.addWidget(self.plan, 1)
        box.addWidget(self.below)
        box.addWidget(self.kept)
        box.addWidget(self.complaints)
        box.addWidget(self.results)
        box.addWidget(self.happenings)
        box.addWidget(self._heading("ui_register.prints.name"))
        box.addWidget(self.prints)
        box.addWidget(self.no_prints)

    def _save(self, paper: str) -> None:
        """Write a paper of the lot in view."""
        lot = self._lot

        def made(desk: Desk) -> Paper:
            from formulary.papers.every_paper import OF_LOT

            return OF_LOT[paper](desk, lot)

        title = self._context.text(f"ui_register.paper.{paper}")
        save_paper(self, self._context, title, f"{lot}-{paper}", made)

    def _print_record(self) -> None:
        """Print the record of the lot in view."""
        from ui.papers.door import PaperDoor
        from ui.papers.worksheets import of_preparation

        PaperDoor(self._context, self).print(of_preparation(self._lot))

    def _heading(self, key: str) -> QLabel:
        return label(self._context.text(key), "heading")

    def _show_prints(self, prints: tuple[LabelPrint, ...]) -> None:
        written = self._context.catalogue.written
        self.prints.clear()
        for each in prints:
            texts = [written(each.printed_at), self._context.said(counted(each))]
            QTreeWidgetItem(self.prints, [*texts, each.stock, each.language, each.printed_by])
        self.prints.setVisible(bool(prints))
        self.no_prints.setVisible(not prints)

    def _trace(self) -> None:
        self.trace_wanted.emit(self._lot)

    def _chart(self) -> None:
        self.charts_wanted.emit(self._formula, self._title)

    def _step_back(self) -> None:
        if self.complaints.asking:
            self.complaints.ask_nothing()
        else:
            self._lot = ""
            self.left.emit()

    def _go_to_labels(self) -> None:
        if self._lot:
            self._context.go(PageName.LABELS, self._lot)
