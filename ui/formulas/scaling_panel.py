"""The scaling panel: what to make, then what to weigh for it, at once and with its working."""

from __future__ import annotations

from dataclasses import dataclass, field

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QVBoxLayout,
    QWidget,
)

from formulary.desk import Desk
from formulary.errors import FormularyError
from formulary.finding import Finding, Severity
from formulary.formula.content import Content
from formulary.formula.version import State, Version
from formulary.messages import Message, message
from formulary.preparation import Preparation
from formulary.scaling.plan import Choices, Plan
from formulary.scaling.target import parse_excess, parse_target
from formulary.verbs.plan import plan
from formulary.verbs.start_preparation import Order, start_preparation
from ui import theme
from ui.context import Context, PageName, Topic, Trial
from ui.formulas.bench_rows import bench_rows
from ui.formulas.bench_table import BenchTable
from ui.formulas.lot_form import LotForm
from ui.formulas.pack_row import PackRow
from ui.formulas.targets import first_target
from ui.formulas.worksheet_acts import Scaled, WorksheetActs
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.finding_list import FindingList
from ui.widgets.quantity_edit import Meaning, QuantityEdit
from ui.widgets.words import action, button, label, scrolled, spaced

AREA = "ui_formulas.scale"


@dataclass
class _Chosen:
    """What is scaled now, and the instruments chosen by a line's position."""

    formula_id: str = ""
    content: Content | None = None
    version: Version | None = None
    instruments: dict[int, str] = field(default_factory=dict)


class ScalingPanel(QWidget):
    """Scales the formula in view."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("panel")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._context = context
        self._chosen = _Chosen()
        self._awaiting = False
        self._make_fields()
        self._make_results()
        self._make_actions()
        self.worksheets = WorksheetActs(context, self, self._scaled)
        self._lay_out()
        self._connect()

    # What is shown

    def show_formula(self, formula_id: str, content: Content, version: Version | None) -> None:
        """Scale this formula; what was typed for it stays, unless it makes no sense."""
        typed_ahead = self._awaiting and bool(self.target.text().strip())
        self._awaiting = False
        sense = self.target.trouble is None or self.target.line.hasFocus()
        same = formula_id == self._chosen.formula_id
        kept = self._chosen.instruments if same else {}
        self._chosen = _Chosen(formula_id, content, version, kept)
        self.packs.offer(content)
        if typed_ahead and sense:
            self.packs.follow(self.target.text())
        elif not (same and sense):
            self.target.set_text(first_target(content, self._context.house.decimal_sign))
            self.target.line.selectAll()
            self.packs.choose_none(self.target.text())
        if not same:
            self.excess.set_text("")
            self.worksheets.question.ask_nothing()
        self.lot.keep_for((formula_id, *(line.ingredient for line in content.lines)))
        self._settle_act()
        self.rescale()

    def await_formula(self) -> None:
        """Take a target for the formula that is being looked for; none can be started before."""
        self._chosen = _Chosen()
        self._awaiting = True
        self.target.set_text("")
        self._show_plan(None)
        self._settle_act()

    def show_nothing(self) -> None:
        """Show that there is nothing to scale."""
        self._awaiting = False
        self.target.set_text("")
        self.packs.choose_none("")
        self._chosen = _Chosen()
        self._show_plan(None)
        self._settle_act()

    def focus_target(self) -> None:
        """Put the cursor where the target is typed, its text selected."""
        self.target.line.setFocus()
        self.target.line.selectAll()

    def make(self, target: str) -> None:
        """Take a target as if it were typed."""
        self.target.set_text(target)
        self._target_edited()

    def pause(self, *, editing: bool) -> None:
        """Leave the keys to the editor while a formula is edited."""
        if editing:
            self.start.setEnabled(False)
            self.worksheets.offer(there=False)
        else:
            self._settle_act()

    def order(self) -> Order:
        """Return what is to be made, as typed."""
        return Order(self.target.text(), self.excess.text(), self._choices())

    def rescale(self) -> None:
        """Work the quantities out again for what is typed now."""
        content = self._chosen.content
        if content is None or not self.target.text().strip():
            self._show_plan(None)
            return
        order, trouble = self.order(), self.lot.trouble()

        def work(desk: Desk) -> Plan:
            if trouble is not None:
                raise trouble  # in its turn, so that no earlier plan comes after it
            return plan(desk.store, desk.house, content, order.target, order.excess, order.choices)

        self._context.do(work, self._show_plan, failed=self._show_refusal, lane="scale")

    # Parts

    def _make_fields(self) -> None:
        text, said = self._context.text, self._context.said
        self.target = QuantityEdit(text(f"{AREA}.target"), self._understand_target, said)
        self.target.line.setPlaceholderText(text(f"{AREA}.target_example"))
        self.packs = PackRow(self._context)
        self.excess = QuantityEdit(text(f"{AREA}.excess"), self._understand_excess, said)
        self.excess.line.setPlaceholderText(text(f"{AREA}.excess_example"))

    def _make_results(self) -> None:
        text = self._context.text
        self.findings = FindingList(self._context.said)
        self.table = BenchTable(
            *(
                text(f"{AREA}.{key}")
                for key in ("table", "working", "choose_instrument", "enter_lot")
            )
        )
        self.lot = LotForm(self._context)
        self.instrument = ChoiceBox(text(f"{AREA}.instrument"))
        self._instrument_for: QLabel = label(role="note")
        self._total = label()
        self.strengths = label(role="note")
        self._hint = label(text(f"{AREA}.keys"), "note")

    def _make_actions(self) -> None:
        text = self._context.text
        self.start = action(self, text(f"{AREA}.start"), "Ctrl+Return", self._start)
        # The keys of the table work from the fields above it, too.
        for each in (self.target, self.packs, self.excess):
            each.addActions([self.table.choose_instrument, self.table.enter_lot])

    def _lay_out(self) -> None:
        box = QVBoxLayout()
        spaced(box, inside=6, around=12)
        head = QHBoxLayout()
        head.addWidget(label(self._context.text(f"{AREA}.heading"), "heading"), 1)
        head.addWidget(self.worksheets.menu.button)
        box.addLayout(head)
        box.addLayout(self._form())
        box.addWidget(self.findings)
        box.addWidget(self.table, 1)
        box.addLayout(self._instrument_row())
        box.addWidget(self.lot)
        for below in (self._total, self.strengths, self._hint, self.worksheets.question):
            box.addWidget(below)
        self._inner = QWidget()
        self._inner.setLayout(box)
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        self._scroll = scrolled(self._inner, self._context.text(f"{AREA}.heading"))
        whole.addWidget(self._scroll, 1)
        foot = QHBoxLayout()
        spaced(foot, around=12)
        foot.addWidget(button(self.start, accent=True))
        whole.addLayout(foot)

    def _form(self) -> QFormLayout:
        form = QFormLayout()
        form.setSpacing(theme.px(8))
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        parts = (("target", self.target), ("pack", self.packs), ("excess", self.excess))
        for key, part in parts:
            form.addRow(label(self._context.text(f"{AREA}.{key}"), "quiet", wrap=False), part)
        return form

    def _instrument_row(self) -> QVBoxLayout:
        row = QVBoxLayout()
        spaced(row, inside=2)
        row.addWidget(self._instrument_for)
        row.addWidget(self.instrument)
        return row

    def _connect(self) -> None:
        self.target.edited.connect(self._target_edited)
        self.packs.composed.connect(self._composed)
        self.excess.edited.connect(self.rescale)
        self.table.row_changed.connect(self._show_instruments)
        self.table.row_changed.connect(lambda _: self._keep_line_in_view())
        self.table.instrument_wanted.connect(self._to_instruments)
        self.instrument.activated.connect(self._choose_instrument)
        self.table.lot_wanted.connect(self._open_lot)
        self.lot.edited.connect(self.rescale)
        self.lot.left.connect(self.table.go_to)
        for line in (self.target.line, self.packs.count, self.excess.line):
            line.returnPressed.connect(self.start.trigger)
        self.target.line.installEventFilter(self)
        self.worksheets.asking.connect(self._settle_act)

    def _keep_line_in_view(self) -> None:
        """Scroll the panel to the line that the keys came to, where the panel is short."""
        if self.table.hasFocus():
            line = self.table.visualRect(self.table.currentIndex())
            below = self.table.viewport().mapTo(self._inner, line.bottomLeft())
            self._scroll.ensureVisible(below.x(), below.y(), 0, line.height())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let ``=`` in the target open every working: no target has such a sign."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if event.text() == "=":
                self.table.toggle_all()
                return True
            if event.key() == Qt.Key.Key_Down:
                self.packs.setFocus()
                return True
        return super().eventFilter(watched, event)

    # What is typed

    def _understand_target(self, text: str) -> Meaning:
        target = parse_target(text, self._context.house.decimal_sign)
        if target.count == 1:
            return Meaning()
        return Meaning(message(f"{AREA}.ordered", ordered=target.ordered))

    def _understand_excess(self, text: str) -> Meaning:
        parse_excess(text, self._context.house.decimal_sign)
        return Meaning()

    def _target_edited(self) -> None:
        self.packs.follow(self.target.text())
        self.rescale()

    def _composed(self, target: str) -> None:
        """Write the target that container and count make together."""
        if target:
            self.target.set_text(target)
        self.rescale()

    def _choices(self) -> Choices:
        lots = self.lot.lots()
        instruments = dict(self._chosen.instruments)
        return Choices(self.packs.chosen(), instruments, lots.certificates, lots.potencies)

    # What comes of it

    def _show_plan(self, made: Plan | None) -> None:
        if made is None:
            self._show_rows_of(None, ())
            return
        self._show_rows_of(made, made.findings)

    def _show_refusal(self, refusal: FormularyError) -> None:
        """Show why there are no quantities; none of an earlier target stay in view."""
        own = () if self.target.trouble else (Finding(Severity.STOP, refusal.message),)
        self._show_rows_of(None, own)

    def _show_rows_of(self, made: Plan | None, findings: tuple[Finding, ...]) -> None:
        said = self._context.said
        rows = bench_rows(made, self._context.house, self._context.catalogue) if made else ()
        self.findings.show_findings(findings)
        self.table.show_rows(rows)
        self._show_instruments(self.table.current_line())
        self._total.setText(said(_made_in_all(made)) if made else "")
        strengths = "\n".join(
            said(
                message(
                    f"{AREA}.strength",
                    ingredient=each.ingredient,
                    declared=each.declared,
                    actual=each.actual_shown,
                )
            )
            for each in (made.strengths if made else ())
        )
        self.strengths.setText(strengths)
        self.strengths.setVisible(bool(strengths))

    def _show_instruments(self, line: int) -> None:
        rows = self.table.rows
        row = rows[line] if 0 <= line < len(rows) else None
        several = row is not None and len(row.able) > 1
        self.instrument.setVisible(several)
        self._instrument_for.setVisible(several)
        if row is not None and several:
            self._instrument_for.setText(
                self._context.text(f"{AREA}.instrument_for", ingredient=row.ingredient)
            )
            self.instrument.fill([(name, name) for name in row.able])
            self.instrument.choose(row.instrument)

    def _to_instruments(self) -> None:
        """Go to the choice of instruments, or say why there is none."""
        line, rows = self.table.current_line(), self.table.rows
        if not self.instrument.isHidden():
            self.instrument.setFocus()
        elif 0 <= line < len(rows):
            row = rows[line]
            key = "only_instrument" if row.instrument else "no_instrument"
            said = {"ingredient": row.ingredient, "instrument": row.instrument}
            self._context.say.tell(f"{AREA}.{key}", **said)

    def _choose_instrument(self) -> None:
        self._chosen.instruments[self.table.current_line()] = str(self.instrument.currentData())
        self.rescale()

    def _open_lot(self) -> None:
        line = self.table.current_line()
        if 0 <= line < len(self.table.rows):
            self.lot.open_for(line, self.table.rows[line].ingredient)

    # The accent act

    def _settle_act(self) -> None:
        version = self._chosen.version
        in_use = version is not None and version.state is State.IN_USE
        key = "start" if in_use else "trial"
        self.start.setText(self._context.text(f"{AREA}.{key}"))
        # The question for blanks has the same keys.
        self.start.setEnabled(version is not None and not self.worksheets.question.asking)
        self.worksheets.offer(there=version is not None)

    def _scaled(self) -> Scaled | None:
        """Return what is to be made; what can't be read of it is said in place."""
        version = self._chosen.version
        if version is None:
            return None
        trouble = self.lot.trouble()
        if trouble is not None:
            self._context.say.refuse(trouble)
            return None
        if self._is_unreadable():
            return None
        return Scaled(version.id, version.content.code, self.order())

    def _start(self) -> None:
        version, wanted = self._chosen.version, self._scaled()
        if version is None or wanted is None:
            return
        order = wanted.order
        if version.state is not State.IN_USE:
            self._context.go(PageName.LABELS, Trial(version.id, order))
            return
        self.start.setEnabled(False)
        self._context.do(
            lambda desk: start_preparation(desk, version.id, order),
            self._started,
            changes=(Topic.PREPARATIONS,),
            failed=self._not_started,
        )

    def _is_unreadable(self) -> bool:
        """Say in place what can't be read of target and excess, and go there."""
        try:
            self._understand_target(self.target.text())
        except FormularyError as refusal:
            self.target.show_trouble(refusal.message)
            self.focus_target()
            return True
        if self.excess.trouble is not None:
            self.excess.line.setFocus()
        return self.excess.trouble is not None

    def _started(self, preparation: Preparation) -> None:
        self._settle_act()
        self._context.say.tell(f"{AREA}.started", lot=preparation.lot, title=preparation.title)
        self._context.go(PageName.BENCH, preparation.lot)

    def _not_started(self, refusal: FormularyError) -> None:
        self._settle_act()
        self._context.say.refuse(refusal)


def _made_in_all(made: Plan) -> Message:
    """Return how much is made, and how much of it is spare."""
    if made.spare is None:
        return message(f"{AREA}.total", total=made.total)
    return message(f"{AREA}.total_with_spare", total=made.total, spare=made.spare)
