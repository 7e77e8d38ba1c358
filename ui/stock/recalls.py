"""Recalls: whom to call for each, what came of it, and its closing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QTreeWidgetItem, QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.stock.lot import SupplyLot
from formulary.stock.recall import (
    Contact,
    Outcome,
    Recall,
    jars_back,
    require_all_reached,
    still_to_call,
)
from formulary.verbs.recall_lot import Call, ToCall, close_recall, note_call, recipients
from ui import signs, theme
from ui.context import Context, Topic
from ui.forms.fields import FormField, Kind
from ui.forms.leaf import leaf
from ui.stock.fitted_tree import FittedTree
from ui.stock.question import Question
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_stock.recall"
_COLUMNS = ("who", "jars", "state", "note")
LEAST_HEIGHT = 180
_GIVEN_UP = (3, 1)


@dataclass(frozen=True, slots=True)
class RecallSeen:
    """A recall with its lots' number and those to call."""

    recall: Recall
    lot: str
    names: Mapping[str, ToCall]


class Recalls(QWidget):
    """Lists recalls, newest first; ``left`` tells that the person stepped back."""

    left = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._rows: list[tuple[RecallSeen, Contact | None]] = []
        text = context.text
        names = [text(f"{AREA}.{each}") for each in _COLUMNS]
        self.list = FittedTree(text(f"{AREA}.name"), names, _GIVEN_UP)
        self.nothing = label(text(f"{AREA}.nothing"), "quiet")
        self.list.setMinimumHeight(theme.px(LEAST_HEIGHT))
        self.question = Question(context)
        self.question.dropped.connect(self.list.setFocus)
        self.call = action(self, text(f"{AREA}.call"), "Ctrl+E", self._ask_call)
        self.close_it = action(self, text(f"{AREA}.close"), "Ctrl+Shift+U", self._ask_close)
        self.back = action(self, text("ui_stock.back"), "Esc", self._step_back)
        self._lay_out()
        self.list.currentItemChanged.connect(lambda *_: self._came_to())
        self._came_to()

    def begin(self) -> None:
        """Read the recalls; whom to call is told to who has signed in."""
        self._context.do(_recalls, self._arrived, lane="stock.recalls")

    def _arrived(self, recalls: Sequence[RecallSeen]) -> None:
        before = self.list.currentIndex().row(), self.list.currentIndex().parent().row()
        self.question.ask_nothing()
        self.list.clear()
        for seen in recalls:
            top = QTreeWidgetItem(self.list, list(self._recall_texts(seen)))
            top.setIcon(0, signs.icon(_sign(settled=not still_to_call(seen.recall))))
            for contact in seen.recall.contacts:
                below = QTreeWidgetItem(top, list(self._contact_texts(seen, contact)))
                below.setIcon(0, signs.icon(_sign(settled=contact.settled)))
            if seen.recall.reach.shelf_jars:
                QTreeWidgetItem(top, list(self._here_texts(seen)))
        self._rows = [each for seen in recalls for each in _rows_of(seen)]
        self.list.expandAll()
        self.list.fit()
        self.nothing.setVisible(not recalls)
        self.list.setVisible(bool(recalls))
        self._come_back(*before)
        self.list.setFocus()

    def _come_back(self, row: int, parent: int) -> None:
        model = self.list.model()
        top = model.index(parent if parent >= 0 else max(row, 0), 0)
        self.list.setCurrentIndex(model.index(row, 0, top) if parent >= 0 else top)
        self._came_to()

    def _lay_out(self) -> None:
        text = self._context.text
        row = FlowLayout()
        for made in (self.call, self.close_it, self.back):
            row.addWidget(button(made))
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside))
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        box.addWidget(label(text(f"{AREA}.name"), "title"))
        box.addWidget(self.nothing)
        box.addWidget(self.list, 1)
        box.addLayout(row)
        box.addWidget(self.question)
        box.addStretch()

    def _recall_texts(self, seen: RecallSeen) -> tuple[str, ...]:
        recall, text = seen.recall, self._context.text
        back, gone = jars_back(recall)
        key = "closed" if recall.closed is not None else "open"
        practice = text(f"{AREA}.practice") if recall.practice else ""
        return (
            text(f"{AREA}.of_lot", lot=seen.lot, at=recall.begun.at.date(), by=recall.begun.person),
            text(f"{AREA}.jars_back", back=back, n=gone),
            " ".join(filter(None, (text(f"{AREA}.{key}", n=len(still_to_call(recall))), practice))),
            recall.finding or recall.reason,
        )

    def _here_texts(self, seen: RecallSeen) -> tuple[str, ...]:
        """Return the row of what stood on the shelf when the recall began."""
        text, jars = self._context.text, seen.recall.reach.shelf_jars
        here = self._context.catalogue.written(jars)
        return text(f"{AREA}.here", n=len(jars)), here, text(f"{AREA}.put_aside"), ""

    def _contact_texts(self, seen: RecallSeen, contact: Contact) -> tuple[str, ...]:
        text = self._context.text
        last = contact.attempts[-1] if contact.attempts else None
        state = (
            text(f"{AREA}.not_called")
            if last is None
            else text(f"stock.recall.outcome.{last.outcome.value}")
        )
        note = text(f"{AREA}.tried", at=last.at, by=last.person, note=last.note) if last else ""
        who = self._who(seen, contact)
        return who, self._jars(contact), state, note

    def _jars(self, contact: Contact) -> str:
        written = self._context.catalogue.written
        jars, back = written(contact.jar_ids), written(contact.back)
        return self._context.text(f"{AREA}.some_back", jars=jars, back=back) if back else jars

    def _who(self, seen: RecallSeen, contact: Contact) -> str:
        """Return whom to call, with the telephone where it is known."""
        known = seen.names.get(contact.recipient_id)
        if known is None:
            return contact.recipient_id
        if not known.telephone:
            return self._context.text(f"{AREA}.no_telephone", name=known.name)
        return self._context.text(f"{AREA}.reached_at", name=known.name, telephone=known.telephone)

    def _row(self) -> tuple[RecallSeen, Contact | None] | None:
        index = self.list.currentIndex()
        if not index.isValid():
            return None
        top = index.parent() if index.parent().isValid() else index
        at = 0
        for row in range(top.row()):
            at += 1 + self.list.model().rowCount(self.list.model().index(row, 0))
        return self._rows[at + (index.row() + 1 if index.parent().isValid() else 0)]

    def _came_to(self) -> None:
        row = self._row()
        is_open = row is not None and row[0].recall.closed is None
        self.call.setEnabled(is_open and row is not None and row[1] is not None)
        self.close_it.setEnabled(is_open)

    def _ask_call(self) -> None:
        row = self._row()
        if row is None or row[1] is None or not self.call.isEnabled():
            return
        seen, contact = row[0], row[1]
        recall = seen.recall

        def run(said: dict[str, str]) -> None:
            call = Call(Outcome(said["outcome"]), said["jars"], said["note"])
            self._context.do(
                lambda desk: note_call(desk, recall.id, contact.recipient_id, call),
                lambda _: self._told("call_noted", seen),
                changes=(Topic.STOCK,),
            )

        fields = (
            FormField("outcome", Kind.CHOICE, choices=self._outcomes),
            FormField("jars", hint=True),
            FormField("note"),
        )
        heading = self._context.text(f"{AREA}.calling", who=self._who(row[0], contact))
        self.question.ask(heading, self.call.text(), AREA, fields, run)

    def _outcomes(self) -> list[tuple[str, str]]:
        text = self._context.text
        return [(text(f"stock.recall.outcome.{each.value}"), each.value) for each in Outcome]

    def _ask_close(self) -> None:
        row = self._row()
        if row is None or not self.close_it.isEnabled():
            return
        seen = row[0]
        try:
            require_all_reached(seen.recall)
        except Refusal as refused:
            self._context.say.refuse(refused)
            return

        def run(said: dict[str, str]) -> None:
            self._context.sign(
                "close_recall",
                self._closing(seen),
                lambda desk, pin: close_recall(desk, seen.recall.id, pin, said["finding"]),
                lambda _: self._told("is_closed", seen),
                changes=(Topic.STOCK,),
            )

        words = self.close_it.text()
        self.question.ask(words, words, AREA, (FormField("finding", required=True),), run)

    def _told(self, key: str, seen: RecallSeen) -> None:
        """Say what was done, and read the recalls anew."""
        self._context.say.tell(f"{AREA}.{key}", lot=seen.lot)
        self.begin()

    def _closing(self, seen: RecallSeen) -> str:
        back, gone = jars_back(seen.recall)
        return self._context.text(f"{AREA}.closing", lot=seen.lot, back=back, n=gone)

    def _step_back(self) -> None:
        if self.question.asking:
            self.question.ask_nothing()
            self.list.setFocus()
        else:
            self.left.emit()


def _rows_of(seen: RecallSeen) -> list[tuple[RecallSeen, Contact | None]]:
    """Return what each row of a recall is about: itself, whom to call, what is still here."""
    below = [None] if seen.recall.reach.shelf_jars else []
    return [(seen, each) for each in (None, *seen.recall.contacts, *below)]


def _sign(*, settled: bool) -> signs.Sign:
    return signs.Sign.TICK if settled else signs.Sign.OCTAGON


def _recalls(desk: Desk) -> list[RecallSeen]:
    recalls = sorted(desk.store.every(Recall), key=lambda each: each.begun.at, reverse=True)
    return [_seen(desk, each) for each in recalls]


def _seen(desk: Desk, recall: Recall) -> RecallSeen:
    lot = desk.store.get(SupplyLot, recall.lot_ids[0])
    names = recipients(desk, recall) if recall.contacts else {}
    return RecallSeen(recall, lot.number if lot is not None else "", names)
