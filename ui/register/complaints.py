"""Complaints and reactions about a preparation: told, decided, and who was told back."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QTreeWidgetItem, QVBoxLayout, QWidget

from formulary.register.complaint import Complaint, Nature, Teller
from formulary.verbs.keep_complaint import Told, decide_complaint, open_complaint
from ui import signs, theme
from ui.context import Context, Topic
from ui.forms.fields import FormField, Kind
from ui.register.reading import Made
from ui.register.stretched_tree import StretchedTree
from ui.stock.question import Question, whole_number
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.quantity_edit import NO_MEANING, Meaning
from ui.widgets.words import action, button, label, spaced

AREA = "ui_register.complaint"
_COLUMNS = ("at", "nature", "jar", "what", "decision")
_GIVEN_UP = (2, 0, 4)
ROW, MOST_ROWS = 32, 6


class Complaints(QWidget):
    """Lists the complaints about one preparation; ``changed`` when it must be read anew."""

    changed = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._lot = ""
        self._complaints: tuple[Complaint, ...] = ()
        text = context.text
        headings = [text(f"{AREA}.{each}") for each in _COLUMNS]
        self.list = StretchedTree(text(f"{AREA}.name"), headings, _GIVEN_UP, 3)
        self.whole = label()
        self.nothing = label(text(f"{AREA}.none"), "quiet")
        self.question = Question(context)
        self.add = action(self, text(f"{AREA}.add"), "Ctrl+N", self._ask)
        self.decide = action(self, text(f"{AREA}.decide"), "Ctrl+E", self._ask_decision)
        self.add_button = button(self.add)
        self.question.dropped.connect(self.add_button.setFocus)
        row = FlowLayout()
        row.addWidget(self.add_button)
        row.addWidget(button(self.decide))
        box = QVBoxLayout(self)
        spaced(box, inside=12)
        box.addWidget(label(text(f"{AREA}.name"), "heading"))
        for part in (self.list, self.whole, self.nothing):
            box.addWidget(part)
        box.addLayout(row)
        box.addWidget(self.question)
        self.list.currentItemChanged.connect(lambda *_: self._came_to())

    def show_made(self, made: Made) -> None:
        """Show the complaints about a preparation."""
        self._lot, self._complaints = made.preparation.lot, made.complaints
        self.question.ask_nothing()
        self.list.clear()
        for each in made.complaints:
            item = QTreeWidgetItem(self.list, self._cells(each))
            item.setIcon(1, signs.icon(_sign(each)))
            item.setToolTip(3, each.what)
            item.setToolTip(4, self._decision(each))
        some = bool(made.complaints)
        self.list.setVisible(some)
        self.nothing.setVisible(not some)
        count = min(len(made.complaints), MOST_ROWS)
        header = self.list.header().sizeHint().height()
        self.list.setFixedHeight(theme.px(ROW) * count + header + theme.px(4))
        self.list.fit()
        if some:
            self.list.setCurrentIndex(self.list.model().index(0, 0))
        self._came_to()

    @property
    def asking(self) -> bool:
        """Whether something is being asked for."""
        return self.question.asking

    def ask_nothing(self) -> None:
        """Take the question back."""
        self.question.ask_nothing()
        self.add_button.setFocus()

    def _cells(self, each: Complaint) -> list[str]:
        text, written = self._context.text, self._context.catalogue.written
        nature = text(f"register.nature.{each.nature.name.lower()}")
        teller = text(f"register.told_by.{each.told_by.value}")
        jar = str(each.jar) if each.jar else ""
        told = text(f"{AREA}.told", nature=nature, teller=teller)
        return [written(each.at), told, jar, each.what, self._decision(each)]

    def _decision(self, each: Complaint) -> str:
        if each.decided is None:
            return self._context.text(f"{AREA}.waits")
        key = "decided_and_told" if each.feedback else "decided"
        return self._context.text(
            f"{AREA}.{key}",
            decision=each.decision,
            feedback=each.feedback,
            by=each.decided.person,
        )

    def _current(self) -> Complaint | None:
        row = self.list.currentIndex().row()
        return self._complaints[row] if 0 <= row < len(self._complaints) else None

    def _came_to(self) -> None:
        current = self._current()
        self.decide.setEnabled(current is not None and current.is_open)
        said = (current.what, self._decision(current)) if current is not None else ()
        self.whole.setText("\n".join(said))
        self.whole.setVisible(current is not None)

    def _ask(self) -> None:
        text = self._context.text
        natures = [(text(f"register.nature.{e.name.lower()}"), e.value) for e in Nature]
        tellers = [(text(f"register.told_by.{e.value}"), e.value) for e in Teller]
        fields = (
            FormField("nature", Kind.CHOICE, choices=lambda: natures),
            FormField("told_by", Kind.CHOICE, choices=lambda: tellers),
            FormField("jar", understand=_number_or_nothing, hint=True),
            FormField("what", Kind.TEXT, required=True, hint=True),
        )
        words = self.add.text()
        self._context.when_signed_in(
            lambda: self.question.ask(words, text(f"{AREA}.keep"), AREA, fields, self._add)
        )

    def _add(self, said: dict[str, str]) -> None:
        lot = self._lot
        told = Told(
            Nature(said["nature"]),
            Teller(said["told_by"]),
            said["what"],
            int(said["jar"].strip() or "0"),
        )
        self._context.do(
            lambda desk: open_complaint(desk, lot, told),
            lambda _: self.changed.emit(),
            changes=(Topic.PREPARATIONS,),
        )

    def _ask_decision(self) -> None:
        current = self._current()
        if current is None or not current.is_open:
            return
        meaning = self._context.text(f"{AREA}.signing", lot=self._lot)

        def run(said: dict[str, str]) -> None:
            self._context.sign(
                "decide_complaint",
                meaning,
                lambda desk, pin: decide_complaint(
                    desk, current.id, pin, said["decision"], said["feedback"]
                ),
                lambda _: self.changed.emit(),
                changes=(Topic.PREPARATIONS,),
            )

        words = self.decide.text()
        fields = (FormField("decision", Kind.TEXT, required=True), FormField("feedback"))
        self.question.ask(words, words, AREA, fields, run)


def _number_or_nothing(typed: str) -> Meaning:
    """Take the number of a jar, or nothing where it isn't known."""
    return whole_number(typed) if typed.strip() else NO_MEANING


def _sign(each: Complaint) -> signs.Sign:
    if each.is_urgent:
        return signs.Sign.OCTAGON
    return signs.Sign.TRIANGLE if each.is_open else signs.Sign.TICK
