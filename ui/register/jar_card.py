"""One jar as its label's code finds it: how it is kept and how long it lasts, for anybody here."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.bench.stages import NEVER_MADE, named
from formulary.formula.keeping import storage_said
from formulary.register.shelf import TO_THROW_AWAY
from formulary.verbs.list_shelf import JarSeen
from ui import signs
from ui.context import Context
from ui.forms.days import distance, today
from ui.forms.facts import Facts
from ui.forms.leaf import leaf
from ui.forms.signed_text import SignedText
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_register.jar"


class JarCard(QWidget):
    """Shows a jar without any patient's data; ``left`` when the person steps back."""

    left = Signal()
    record_wanted = Signal(str)
    trace_wanted = Signal(str)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._seen: JarSeen | None = None
        text = context.text
        self.title = label(role="title")
        self.kept = label(role="task")
        self.until = label(role="task")
        self.stop = SignedText(context, signs.Sign.OCTAGON, "stop_task")
        self.facts = Facts()
        self.record = action(self, text(f"{AREA}.record"), "Ctrl+Return", self._record)
        self.trace = action(self, text("ui_register.trace.open"), "Ctrl+T", self._trace)
        self.back = action(self, text("ui_register.back"), "Esc", self.left.emit)
        self._record_button = button(self.record, accent=True)
        self._record_button.setAutoDefault(True)
        row = FlowLayout()
        row.addWidget(self._record_button)
        for made in (self.trace, self.back):
            row.addWidget(button(made))
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside))
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        for part in (self.title, self.stop, self.until, self.kept, self.facts):
            box.addWidget(part)
        box.addLayout(row)
        box.addStretch()

    def show_jar(self, seen: JarSeen) -> None:
        """Show a jar."""
        self._seen = seen
        text, written = self._context.text, self._context.catalogue.written
        name = f"{seen.lot}/{seen.number}" if seen.number else seen.lot
        self.title.setText(text(f"{AREA}.title", jar=name, title=seen.title))
        made = seen.stage not in NEVER_MADE
        away = self._context.said(distance(today(self._context), seen.use_by))
        until = text(f"{AREA}.until", day=written(seen.use_by), away=away)
        stops = self._stops(seen)
        self.until.setText(until if made else text(f"{AREA}.not_made"))
        # Nothing may stand larger than that it isn't to be used.
        self.until.setVisible(not stops)
        kept = ", ".join(map(self._context.said, storage_said(seen.storage)))
        self.kept.setText(kept or text(f"{AREA}.no_storage"))
        self.stop.say(stops)
        self.facts.show_facts(
            [
                (text("ui_register.column.use_by"), until if stops and made else ""),
                (text("ui_register.column.version"), str(seen.version_number)),
                (text("ui_register.column.made_on"), written(seen.made_on) if made else ""),
                (text("ui_register.column.stage"), self._context.said(named(seen.stage))),
                (text(f"{AREA}.place"), self._place(seen)),
            ]
        )
        self._record_button.setFocus()

    def said(self) -> str:
        """Return all that is read on the card."""
        labels = (self.title.text(), self.stop.text(), self.until.text(), self.kept.text())
        return "\n".join((*labels, *self.facts.texts()))

    def _place(self, seen: JarSeen) -> str:
        if seen.came_back:
            return self._context.text(f"{AREA}.at.back")
        return self._context.text(f"{AREA}.at.{seen.place}") if seen.place else ""

    def _stops(self, seen: JarSeen) -> list[str]:
        if seen.standing not in TO_THROW_AWAY:
            return []
        return [self._context.text(f"{AREA}.stop.{seen.standing.value}")]

    def _record(self) -> None:
        if self._seen is not None:
            self.record_wanted.emit(self._seen.lot)

    def _trace(self) -> None:
        if self._seen is not None:
            number = self._seen.number
            self.trace_wanted.emit(f"{self._seen.lot}/{number}" if number else self._seen.lot)
