"""The question for a PIN: of whoever signs in, or of the person at the desk who signs an act."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, Qt, QTimer
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QShowEvent
from PySide6.QtWidgets import QDialog, QLineEdit, QVBoxLayout, QWidget

from formulary.errors import FormularyError
from formulary.people import Person
from ui import theme
from ui.context import Context
from ui.forms.signed_text import SignedText
from ui.sign_in.person_box import PersonBox
from ui.sign_in.reading_list import ReadingList
from ui.signs import Sign
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

if TYPE_CHECKING:
    from formulary.wording.reading import ToRead

AREA = "ui_sign_in"
WIDTH, WIDE, AWAY = 420, 640, 40
Failed = Callable[[FormularyError], None]


@dataclass(frozen=True, slots=True)
class Answered:
    """Who answered by which PIN, and why nobody else could; empty where somebody else did."""

    person_id: str
    pin: str
    alone_because: str = ""


Attempt = Callable[[Answered, Callable[[], None], Failed], None]
"""Tries an answer; calls back when it is done, or with what was wrong."""


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked: the words above and on the button, who may answer, and what is done then.

    Whoever is in ``alone`` can answer only with the reason for which nobody else does; ``reasons``
    are those given before in this shift, by person. ``about`` is read before. A PIN that is only
    chosen now is typed ``twice``.
    """

    heading: str
    confirm: str
    people: Sequence[Person]
    chosen: str
    attempt: Attempt
    note: str = ""
    alone: frozenset[str] = frozenset()
    reasons: Mapping[str, str] = field(default_factory=dict)
    about: Sequence[ToRead] = ()
    twice: bool = False


class PinDialog(QDialog):
    """Asks until the PIN is right or the person steps back, which ``rejected`` tells."""

    def __init__(self, context: Context, question: Question, parent: QWidget) -> None:
        super().__init__(parent)
        self._context, self._question, self._parent = context, question, parent
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self.setWindowTitle(question.heading)
        self.setMinimumWidth(theme.px(WIDE if question.about else WIDTH))
        text = context.text
        self.person = PersonBox(text(f"{AREA}.person"), self._chosen)
        self.pin = QLineEdit()
        self.pin.setEchoMode(QLineEdit.EchoMode.Password)
        self.pin.setAccessibleName(text(f"{AREA}.pin"))
        self.again = QLineEdit()
        self.again.setEchoMode(QLineEdit.EchoMode.Password)
        self.again.setAccessibleName(text(f"{AREA}.again"))
        self.alone_words = label(text(f"{AREA}.alone_because"), "quiet")
        self.alone_because = QLineEdit()
        self.alone_because.setAccessibleName(text(f"{AREA}.alone_because"))
        self.refusal = SignedText(context, Sign.OCTAGON, "stop")
        self.confirm = action(self, question.confirm, "", self._try)
        self.cancel = action(self, text(f"{AREA}.cancel"), "", self.reject)
        self._lay_out()
        self._offer(question)
        self.pin.returnPressed.connect(self._try)
        self.again.returnPressed.connect(self._try)
        self.alone_because.returnPressed.connect(self._try)
        self.pin.setFocus()

    def showEvent(self, event: QShowEvent) -> None:
        """Come up in the lower corner, so that what is signed stays in view where there is room."""
        super().showEvent(event)
        self._place()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw an edge: without one it would run into the page of the same colour."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setPen(QPen(QColor(theme.colours().ink), theme.px(2)))
        painter.drawRect(self.rect().adjusted(1, 1, -1, -1))

    def _place(self) -> None:
        corner = self._parent.window().frameGeometry().bottomRight()
        frame = self.frameGeometry()
        frame.moveBottomRight(corner - QPoint(theme.px(AWAY), theme.px(AWAY)))
        self.move(frame.topLeft())

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        spaced(box, inside=8, around=16)
        box.addWidget(label(self._question.heading, "heading"))
        if self._question.about:
            name = self._context.text(f"{AREA}.about")
            box.addWidget(ReadingList(name, self._question.about))
        for name, widget in (("person", self.person), ("pin", self.pin)):
            words = label(self._context.text(f"{AREA}.{name}"), "quiet")
            words.setBuddy(widget)
            box.addWidget(words)
            box.addWidget(widget)
        if self._question.twice:
            words = label(self._context.text(f"{AREA}.again"), "quiet")
            words.setBuddy(self.again)
            box.addWidget(words)
            box.addWidget(self.again)
        self.alone_words.setBuddy(self.alone_because)
        box.addWidget(self.alone_words)
        box.addWidget(self.alone_because)
        box.addWidget(self.refusal)
        if self._question.note:
            box.addWidget(label(self._question.note, "note"))
        row = FlowLayout()
        row.addWidget(button(self.confirm, accent=True))
        row.addWidget(button(self.cancel, keys="Esc"))
        box.addLayout(row)

    def _offer(self, question: Question) -> None:
        self.person.fill([(self._called(each), each.id) for each in question.people])
        self.person.choose(question.chosen)
        self.person.setEnabled(len(question.people) > 1)
        self.refusal.say([])
        self._show_alone()

    def _chosen(self) -> None:
        # What was refused was somebody else's.
        self.refusal.say([])
        self._show_alone()
        self.pin.setFocus()

    def _show_alone(self) -> None:
        who = str(self.person.currentData() or "")
        alone = who in self._question.alone
        self.alone_because.setText(self._question.reasons.get(who, ""))
        self.alone_words.setVisible(alone)
        self.alone_because.setVisible(alone)
        self._fit()

    def _fit(self) -> None:
        """Become as tall as the sentences are at this width."""
        box = self.layout()
        if box is not None and self.isVisible():
            box.activate()
            self.resize(self.width(), box.totalHeightForWidth(self.width()))
            self._place()

    def _called(self, person: Person) -> str:
        return f"{person.name}, {self._context.text(f'ui.post.{person.post.value}')}"

    def _try(self) -> None:
        """Try what is typed; Enter on nothing is no try."""
        if not self.pin.text():
            self.pin.setFocus()
            return
        if self._question.twice and not self._typed_alike():
            return
        reason = self.alone_because.text().strip()
        if not self.alone_because.isHidden() and not reason and self.pin.text():
            self.alone_because.setFocus()
            return
        who = str(self.person.currentData() or "")
        alone = "" if self.alone_because.isHidden() else reason
        self.pin.setEnabled(False)
        self._question.attempt(Answered(who, self.pin.text(), alone), self.accept, self._failed)

    def _typed_alike(self) -> bool:
        """Tell whether a PIN that nobody can see was typed alike twice; a slip is said."""
        if self.again.text() == self.pin.text():
            return True
        if self.again.text():
            self.refusal.say([self._context.text(f"{AREA}.not_alike")])
            self._fit()
        self.again.clear()
        self.again.setFocus()
        return False

    def _failed(self, trouble: FormularyError) -> None:
        self.refusal.say([self._context.said(trouble.message)])
        self._fit()
        # How high a sentence of several lines is shows only once it has its place.
        QTimer.singleShot(0, self, self._fit)
        self.pin.setEnabled(True)
        self.pin.clear()
        self.again.clear()
        self.pin.setFocus()
