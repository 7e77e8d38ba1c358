"""An inspection pack: the two days of its period, then its file, with progress and a way to stop.

It is put together on the worker. What is told from there comes to the window by a queued signal;
stopping sets a flag that the worker looks at between two records.
"""

from __future__ import annotations

import threading
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QProgressBar, QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.errors import FormularyError, Refusal
from formulary.messages import message
from formulary.verbs.read_period import Days, days_between
from ui.context import Context
from ui.files import PDF, ask_to_save
from ui.forms.days import day_of, today, typed_day
from ui.forms.fields import FormField
from ui.forms.form import Form
from ui.forms.leaf import leaf
from ui.papers.paper_file import write_paper
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

if TYPE_CHECKING:
    from formulary.papers.every_paper import Paper

AREA = "ui_register.pack"


_FIELDS = (
    FormField("first", understand=typed_day, required=True, hint=True),
    FormField("last", understand=typed_day, required=True),
)


class PackForm(QWidget):
    """Writes the pack of a period; ``left`` when the person steps back to the list."""

    left = Signal()
    _told = Signal(int, int)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._stopped = threading.Event()
        text = context.text
        self.form = Form(context, AREA, _FIELDS)
        self.progress = QProgressBar()
        self.progress.setAccessibleName(text(f"{AREA}.progress"))
        self.far = label(role="note")
        self.write = action(self, text(f"{AREA}.write"), "Ctrl+Return", self._write)
        self.stop = action(self, text(f"{AREA}.stop"), "Ctrl+Backspace", self._stop)
        self.back = action(self, text("ui_register.back"), "Esc", self._step_back)
        row = FlowLayout()
        row.addWidget(button(self.write, accent=True))
        for made in (self.stop, self.back):
            row.addWidget(button(made))
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside))
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        box.addWidget(label(text(f"{AREA}.title"), "title"))
        box.addWidget(label(text(f"{AREA}.about"), "note"))
        for part in (self.form, self.progress, self.far):
            box.addWidget(part)
        box.addLayout(row)
        box.addStretch()
        self.form.entered("last").connect(self._write)
        self._told.connect(self._show_progress, Qt.ConnectionType.QueuedConnection)
        self._be_busy(busy=False)

    def begin(self) -> None:
        """Propose this month so far."""
        if not self.stop.isEnabled():
            now = today(self._context)
            values = {"first": now.replace(day=1).isoformat(), "last": now.isoformat()}
            self.form.show_values(values)
            self.form.inputs["first"].setFocus()

    def _write(self) -> None:
        faulty = self.form.first_trouble()
        if faulty:
            self.form.inputs[faulty].setFocus()
            return
        said = self.form.values()
        try:
            days = days_between(day_of(said["first"]), day_of(said["last"]))
        except Refusal as trouble:
            self.form.show_trouble("last", trouble.message)
            return
        proposed = f"inspection-{days.first.isoformat()}-{days.last.isoformat()}"
        ask_to_save(
            self, self.write.text(), f"{proposed}.pdf", lambda path: self._write_to(path, days), PDF
        )

    def _write_to(self, path: Path, days: Days) -> None:
        self._stopped.clear()
        self._be_busy(busy=True)
        write_paper(
            self._context,
            lambda desk: self._made(desk, days),
            path,
            then=lambda: self._be_busy(busy=False),
            failed=self._failed,
        )

    def _made(self, desk: Desk, days: Days) -> Paper:
        """Put the pack together; on the worker."""
        from formulary.papers.every_paper import pack_of

        return pack_of(desk, days, self._hear)

    def _hear(self, done: int, total: int) -> None:
        """Be told how far it is, on the worker. Raises Refusal once it is to stop."""
        if self._stopped.is_set():
            raise Refusal(message("papers.pack.stopped"))
        self._told.emit(done, total)

    def _show_progress(self, done: int, total: int) -> None:
        self.progress.setRange(0, total)
        self.progress.setValue(done)
        self.far.setText(self._context.text(f"{AREA}.far", n=done + 1, total=total))

    def _stop(self) -> None:
        self._stopped.set()

    def _failed(self, trouble: FormularyError) -> None:
        self._be_busy(busy=False)
        self._context.say.refuse(trouble)

    def _be_busy(self, *, busy: bool) -> None:
        self.progress.setRange(0, 0)
        for part in (self.progress, self.far):
            part.setVisible(busy)
        self.far.setText("")
        self.stop.setEnabled(busy)
        self.write.setEnabled(not busy)

    def _step_back(self) -> None:
        """Go back; what is being written is stopped."""
        self._stop()
        self.left.emit()
