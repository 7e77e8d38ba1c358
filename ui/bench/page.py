"""The page *Bench*: what is open, one thing to do, and what is done so far, side by side."""

from __future__ import annotations

from PySide6.QtCore import QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QApplication, QHBoxLayout, QStackedLayout, QVBoxLayout, QWidget

from ui import theme
from ui.bench.act_menu import ActMenu
from ui.bench.course import Course
from ui.bench.equipment import EquipmentLog
from ui.bench.lanes import Lanes
from ui.bench.next_key import NextKey
from ui.bench.papers import BenchPapers
from ui.bench.record_panel import RecordPanel
from ui.bench.task_view import TaskView
from ui.bench.work_list import WorkList
from ui.context import Context
from ui.forms.leaf import fit_index, leaf
from ui.forms.signed_text import SignedText
from ui.signs import Sign
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, hairline, label, spaced

LIST_WIDTH, RECORD_WIDTH = 256, 320
ROOMY = 1060
TALL = 860
MANY = 3
"""Entries that take as much room as a scale."""


class BenchPage(QWidget):
    """Stands beside the person at the balance."""

    help_page = "bench"

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._blind = self._empty = False
        self.work_list = WorkList(context)
        self.view = TaskView(context)
        self.record = RecordPanel(context)
        self.title = label(role="heading")
        self.last = SignedText(context, Sign.TICK, "inside", worded=False)
        self.last_wrong = SignedText(context, Sign.TRIANGLE, "thought", worded=False)
        self.where = SignedText(context, Sign.DOT, "", worded=False)
        self.lanes = Lanes(context)
        self.bench = QWidget()
        self.menu = ActMenu(context, self.bench)
        self.papers = BenchPapers(context, self.bench)
        self.equipment = EquipmentLog(context)
        for each in (self.papers.print, self.papers.save):
            self.menu.menu.add(each)
        self.course = Course(context, self)
        self.next_key = NextKey(self)
        self.view.wanting.connect(self.next_key.give)
        self.equipment.left.connect(self._leave_equipment)
        self._make_actions()
        self._lay_out()

    def take(self, subject: object) -> None:
        """Show the preparation with a lot."""
        if isinstance(subject, str):
            self.course.open(subject)

    def record_in_view(self) -> str:
        """Return the lot in view."""
        return self.course.doing.lot

    def shown(self) -> None:
        """Read what is open; what is in work here opens by itself."""
        if self.course.doing.work is not None:
            self.next_key.keep()
        self.course.shown()
        if self.equipment.isVisible():
            self.equipment.take_focus()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave out what is done so far where there is no room for it."""
        super().resizeEvent(event)
        width = event.size().width()
        fit_index(self.work_list, width, LIST_WIDTH)
        self.record.setFixedWidth(theme.px(RECORD_WIDTH))
        self._fit_record(width)
        self.fit_lanes()
        self.bring_into_view()

    def _make_actions(self) -> None:
        text = self._context.text
        bench = self.bench
        action(bench, text("ui_bench.find"), "Ctrl+F", self.work_list.focus_find)
        self.other = action(bench, text("ui_bench.other_task"), "PgDown", self.course.next_task)
        self.back = action(bench, text("ui_bench.task_before"), "PgUp", self.course.task_before)
        action(bench, text("ui_bench.to_task"), "Esc", self.next_key.give)
        self.labels = action(bench, text("ui_bench.labels_of"), "Ctrl+L", self.course.to_labels)
        self.to_equipment = action(bench, text("ui_bench.to_equipment"), "Ctrl+G", self._log)
        self.show_record = action(bench, text("ui_bench.show_record"), "Ctrl+R", self._toggle)

    def _lay_out(self) -> None:
        self._stack = QStackedLayout(self)
        self._stack.addWidget(self.bench)
        self._stack.addWidget(self.equipment)
        whole = QHBoxLayout(self.bench)
        spaced(whole, inside=0)
        whole.addWidget(self.work_list)
        self.work_list.add_below(button(self.to_equipment))
        middle = QWidget()
        box = QVBoxLayout(middle)
        spaced(box, inside=8, around=24)
        self._line = hairline()
        for part in (self.title, self.where, self.last, self.last_wrong, self._line):
            box.addWidget(part)
        self._leaf = leaf(self.view)
        box.addWidget(self._leaf, 1)
        box.addWidget(self.lanes)
        self._acts = QWidget()
        row = FlowLayout()
        self._acts.setLayout(row)
        self.other_button = button(self.other)
        others = (self.menu.menu.button, button(self.labels), button(self.show_record))
        for each in (self.other_button, *others):
            row.addWidget(each)
        box.addWidget(self._acts)
        whole.addWidget(middle, 1)
        whole.addWidget(self.record)
        self.setTabOrder(self.work_list, self.view)

    def fit_lanes(self) -> None:
        """Leave the lanes out beside a scale, or much to enter, where the height is short."""
        shown = self.view.shown
        tall = shown.gauge is not None or len(shown.entries) >= MANY
        short = self.height() < theme.px(TALL) and tall
        self.lanes.setVisible(not short and self.lanes.has_any)

    def bring_into_view(self) -> None:
        """Scroll to where the next key goes, with the accent act whole where there is room.

        What is compared before a signature begins at its top.
        """
        QTimer.singleShot(0, self, self._bring)

    def _bring(self) -> None:
        focus = QApplication.focusWidget()
        if self.view.shown.columns:
            # What is compared is read from its beginning.
            self._leaf.to_top()
        elif focus is not None and self.view.isAncestorOf(focus):
            self._leaf.ensureWidgetVisible(self.view.accent_button)
            self._leaf.ensureWidgetVisible(focus)

    def offer_others(self, count: int) -> None:
        """Offer that so many other things can be done now."""
        self.other.setText(self._context.text("ui_bench.others", n=count))
        self.other.setVisible(count > 0)
        self.other.setEnabled(count > 0)
        self.back.setEnabled(count > 0)

    def hide_record(self, *, blind: bool) -> None:
        """Leave out what is on record while somebody looks afresh."""
        self._blind = blind
        self.show_record.setEnabled(not blind)
        for each in (self.last, self.last_wrong, self.where):
            if blind:
                each.say(())
        self._fit_record(self.width())

    def show_empty(self, *, empty: bool) -> None:
        """Leave out what says or does nothing while no preparation is in view."""
        self._empty = empty
        for each in (self.title, self._line, self._acts):
            each.setVisible(not empty)
        for made in (self.labels, self.show_record):
            made.setEnabled(not empty)
        self._fit_record(self.width())

    def _log(self) -> None:
        """Show what is noted of the room, of instruments and of balances."""
        self._stack.setCurrentWidget(self.equipment)
        self.equipment.begin()

    def _leave_equipment(self) -> None:
        self._stack.setCurrentWidget(self.bench)
        self.course.shown()

    def _toggle(self) -> None:
        """Show or hide what is done so far."""
        self.record.setVisible(self.record.isHidden())

    def _fit_record(self, width: int) -> None:
        roomy = width >= theme.px(ROOMY)
        self.record.setVisible(roomy and not self._blind and not self._empty)
        self.show_record.setVisible(not roomy)
