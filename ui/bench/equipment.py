"""The log of the room, of instruments and of balances: how each stands, and what is noted of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QPlainTextEdit, QTreeWidgetItem, QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.equipment import EquipmentNote, Noted
from formulary.verbs.note_equipment import note_equipment
from formulary.verbs.read_equipment import Kept, read_equipment
from ui import signs, theme
from ui.bench.typed import a_number, number
from ui.context import Context, Topic
from ui.forms.days import distance, today
from ui.forms.fields import FormField
from ui.forms.leaf import leaf
from ui.forms.signed_text import SignedText
from ui.stock.fitted_tree import FittedTree
from ui.stock.question import Question
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, set_role, spaced

AREA = "ui_bench.equipment"
COLUMNS = ("name", "state", "due", "cleaned", "read")
_GIVEN_UP = (4, 2)
LEAST_HEIGHT, LOG_HEIGHT = 200, 120


@dataclass(frozen=True, slots=True)
class LogAct:
    """What can be noted: its keys, and the fields that are asked for (those with ``*`` needed)."""

    what: Noted
    keys: str
    fields: tuple[str, ...]


ACTS = (
    LogAct(Noted.CLEANED, "Ctrl+D", ("with",)),
    LogAct(Noted.READ, "Ctrl+R", ("degrees", "humidity", "note")),
    LogAct(Noted.FAULTY, "Ctrl+Shift+F", ("wrong*",)),
    LogAct(Noted.MENDED, "Ctrl+Shift+M", ("mended",)),
    LogAct(Noted.CALIBRATED, "Ctrl+Shift+C", ("certificate*",)),
)


class EquipmentLog(QWidget):
    """Lists what is cleaned and checked; ``left`` tells that the person stepped back."""

    left = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._kept: tuple[Kept, ...] = ()
        text = context.text
        self.list = FittedTree(
            text(f"{AREA}.name"), [text(f"{AREA}.column.{each}") for each in COLUMNS], _GIVEN_UP
        )
        self.list.setRootIsDecorated(False)
        self.list.setMinimumHeight(theme.px(LEAST_HEIGHT))
        self.unfit = SignedText(context, signs.Sign.TRIANGLE, "thought", worded=False)
        self.question = Question(context)
        self.log_heading = label(role="heading")
        self.log = QPlainTextEdit()
        self.log.setReadOnly(True)
        self.log.setTabChangesFocus(True)
        self.log.setAccessibleName(text(f"{AREA}.log"))
        self.log.setMinimumHeight(theme.px(LOG_HEIGHT))
        set_role(self.log, "told")
        self.acts = {each.what: self._action(each) for each in ACTS}
        self.back = action(self, text(f"{AREA}.back"), "Esc", self._step_back)
        self._lay_out()
        self._connect()

    def begin(self) -> None:
        """Read the log."""
        self._context.do(read_equipment, self._arrived, lane="bench.equipment")

    def take_focus(self) -> None:
        """Go on where the next key belongs: in what is asked for, else in the list."""
        form = self.question.form
        if form is None:
            self.list.setFocus()
        else:
            self.question.go_to(next(iter(form.inputs)))

    def _action(self, act: LogAct) -> QAction:
        words = self._context.text(f"{AREA}.act.{act.what.value}")
        return action(self, words, act.keys, partial(self._ask, act))

    def _lay_out(self) -> None:
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside))
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        row = FlowLayout()
        for made in (*self.acts.values(), self.back):
            row.addWidget(button(made, accent=made is self.acts[Noted.CLEANED]))
        box.addWidget(label(self._context.text(f"{AREA}.name"), "title"))
        box.addWidget(self.list, 2)
        box.addWidget(self.unfit)
        box.addLayout(row)
        box.addWidget(self.question)
        box.addWidget(self.log_heading)
        box.addWidget(self.log, 1)

    def _connect(self) -> None:
        self.list.currentItemChanged.connect(lambda *_: self._show_log())
        self.list.itemActivated.connect(lambda _: self._ask(ACTS[0]))
        self.question.dropped.connect(self.list.setFocus)

    # What is shown

    def _arrived(self, kept: Sequence[Kept]) -> None:
        before = max(self.list.currentIndex().row(), 0)
        self._kept = tuple(kept)
        self.list.clear()
        for each in kept:
            item = QTreeWidgetItem(self.list, self._texts(each))
            item.setIcon(1, signs.icon(signs.Sign.TRIANGLE if each.unfit else signs.Sign.TICK))
        at = self.list.topLevelItem(min(before, len(kept) - 1))
        if at is not None:
            self.list.setCurrentItem(at)
        self.list.fit()
        self.list.setFocus()

    def _texts(self, each: Kept) -> list[str]:
        text = self._context.text
        due = each.due
        return [
            self._name(each),
            text(f"{AREA}.{'unfit' if each.unfit else 'fit'}"),
            "" if due is None else text(f"{AREA}.due", day=due, away=distance(self._today, due)),
            self._when(each.last(Noted.CLEANED)),
            self._when(each.last(Noted.READ)),
        ]

    @property
    def _today(self) -> date:
        return today(self._context)

    def _name(self, each: Kept) -> str:
        return each.name or self._context.text("equipment.room")

    def _when(self, note: EquipmentNote | None) -> str:
        return "" if note is None else self._context.catalogue.written(note.at)

    def _show_log(self) -> None:
        chosen = self._current()
        if chosen is None:
            return
        said = self._context.said
        self.unfit.say([said(chosen.unfit)] if chosen.unfit is not None else [])
        self.log_heading.setText(self._context.text(f"{AREA}.log_of", name=self._name(chosen)))
        entries = [said(each.said) for each in chosen.notes]
        self.log.setPlainText("\n".join(entries) or self._context.text(f"{AREA}.nothing"))

    def _current(self) -> Kept | None:
        row = self.list.currentIndex().row()
        return self._kept[row] if 0 <= row < len(self._kept) else None

    # What is noted

    def _ask(self, act: LogAct) -> None:
        chosen = self._current()
        if chosen is None:
            return
        words = self._context.text(f"{AREA}.act.{act.what.value}")
        heading = self._context.text(f"{AREA}.asking", act=words, name=self._name(chosen))
        fields = [self._field(each) for each in act.fields]
        self.question.ask(heading, words, AREA, fields, partial(self._note, act.what, chosen.name))

    def _field(self, name: str) -> FormField:
        if name in ("degrees", "humidity"):
            return FormField(name, understand=a_number(self._context))
        return FormField(name.rstrip("*"), required=name.endswith("*"))

    def _note(self, what: Noted, subject: str, values: dict[str, str]) -> None:
        context = self._context
        figures = {
            name: number(context, values[name])
            for name in ("degrees", "humidity")
            if values.get(name, "").strip()
        }
        words = [values[name] for name in values if name not in ("degrees", "humidity")]

        def note(desk: Desk) -> EquipmentNote:
            return note_equipment(desk, subject, what, note=" ".join(words), **figures)

        context.do(note, self._noted, changes=(Topic.EQUIPMENT,))

    def _noted(self, note: EquipmentNote) -> None:
        self.question.ask_nothing()
        self._context.say.tell("ui_bench.said", what=note.said)
        self.begin()

    def _step_back(self) -> None:
        if self.question.asking:
            self.question.ask_nothing()
            self.list.setFocus()
        else:
            self.left.emit()
