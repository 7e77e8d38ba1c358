"""What can be done with the newest version in its state; a reason is asked in place."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.finding import Finding
from formulary.formula.periods import said as period_said
from formulary.formula.version import State, Version
from formulary.messages import Parameter, message
from formulary.verbs.acknowledge_version import acknowledge_version
from formulary.verbs.move_version import put_in_use, return_to_draft, send_to_review, withdraw
from formulary.verbs.review_formula import known_version, override_finding
from ui.context import Context, Topic
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

if TYPE_CHECKING:
    from formulary.wording.reading import ToRead

AREA = "ui_formulas.version"


@dataclass(frozen=True, slots=True)
class Given:
    """What an act was given: a reason, a PIN, and the finding that the reason is for."""

    why: str = ""
    pin: str = ""
    finding: Finding | None = None


Verb = Callable[[Desk, str, Given], Version]
"""Moves a version by its id."""


@dataclass(frozen=True, slots=True)
class VersionAct:
    """An act on a version: its states and keys, whether a reason is asked, and a signature."""

    name: str
    states: tuple[State, ...]
    keys: str
    verb: Verb
    asks: bool = True
    signed: bool = False


def _put_in_use(desk: Desk, version_id: str, given: Given) -> Version:
    return put_in_use(desk, version_id, given.pin, alone_because=given.why)


def _return(desk: Desk, version_id: str, given: Given) -> Version:
    return return_to_draft(desk, version_id, given.why)


def _withdraw(desk: Desk, version_id: str, given: Given) -> Version:
    return withdraw(desk, version_id, given.why)


def _give_reason(desk: Desk, version_id: str, given: Given) -> Version:
    if given.finding is not None:
        override_finding(desk, version_id, given.finding, given.why, given.pin)
    return known_version(desk.store, version_id)


ACTS = (
    VersionAct(
        "send_to_review",
        (State.DRAFT,),
        "Ctrl+Shift+R",
        lambda desk, version_id, *_: send_to_review(desk, version_id),
        asks=False,
    ),
    VersionAct(
        "put_in_use",
        (State.IN_REVIEW,),
        "Ctrl+Shift+U",
        _put_in_use,
        asks=False,
        signed=True,
    ),
    VersionAct(
        "override_finding",
        (State.DRAFT, State.IN_REVIEW, State.IN_USE),
        "Ctrl+Shift+G",
        _give_reason,
        signed=True,
    ),
    VersionAct(
        "acknowledge_version",
        (State.IN_USE,),
        "Ctrl+Shift+K",
        lambda desk, version_id, *_: acknowledge_version(desk, version_id),
        asks=False,
    ),
    VersionAct("return_to_draft", (State.IN_REVIEW,), "Ctrl+Shift+D", _return),
    VersionAct("withdraw", (State.DRAFT, State.IN_REVIEW, State.IN_USE), "Ctrl+Shift+W", _withdraw),
)


class VersionActs(QWidget):
    """The buttons of the newest version's state, and the line for a reason below them.

    ``moved`` tells that an act is done, while what did it still has the focus. ``is_read`` is asked
    before a signature whether the version was in view, and brings it there if it wasn't.
    """

    moved = Signal()

    def __init__(self, context: Context, is_read: Callable[[], bool]) -> None:
        super().__init__()
        self._context = context
        self._is_read = is_read
        self._version: Version | None = None
        self._asked: VersionAct | None = None
        self._waiting: tuple[Finding, ...] = ()
        self._buttons = FlowLayout()
        self.actions_of = {act.name: self._action(act) for act in ACTS}
        self._question = label(role="quiet")
        self.reason = QLineEdit()
        self.reason.setAccessibleName(context.text(f"{AREA}.reason"))
        self.reason.returnPressed.connect(self._do_asked)
        self._confirm = action(self.reason, context.text(f"{AREA}.do"), "", self._do_asked)
        self._never_mind = action(
            self.reason, context.text(f"{AREA}.never_mind"), "", self.ask_nothing
        )
        self._answer = self._answer_row()
        box = QVBoxLayout(self)
        spaced(box, inside=8)
        box.addLayout(self._buttons)
        box.addWidget(self._answer)
        self.show_version(None)

    def show_version(self, version: Version | None, waiting: Sequence[Finding] = ()) -> None:
        """Offer what this version's state allows, and a reason where a finding waits for one."""
        self._version = version
        self._waiting = tuple(waiting)
        self.ask_nothing()
        for act in ACTS:
            fits = version is not None and version.state in act.states
            fits = fits and (act.name != "override_finding" or bool(waiting))
            self.actions_of[act.name].setVisible(fits)
            self.actions_of[act.name].setEnabled(fits)
        self.setVisible(version is not None and version.state is not State.WITHDRAWN)

    @property
    def asking(self) -> bool:
        """Whether a reason is being asked for."""
        return self._asked is not None

    def ask_nothing(self) -> None:
        """Take the question back."""
        self._asked = None
        self.reason.clear()
        self._answer.hide()

    def _action(self, act: VersionAct) -> QAction:
        made = action(
            self, self._context.text(f"{AREA}.{act.name}"), act.keys, lambda: self._begin(act)
        )
        self._buttons.addWidget(button(made))
        return made

    def _answer_row(self) -> QWidget:
        row = QWidget()
        box = QVBoxLayout(row)
        spaced(box, inside=4)
        buttons = FlowLayout()
        buttons.addWidget(button(self._confirm, accent=True))
        buttons.addWidget(button(self._never_mind, keys="Esc"))
        for widget in (self._question, self.reason):
            box.addWidget(widget)
        box.addLayout(buttons)
        return row

    def _begin(self, act: VersionAct) -> None:
        if self._version is None:
            return
        if act.signed and not self._is_read():
            act_said = self._context.text(f"{AREA}.{act.name}")
            self._context.say.tell(f"{AREA}.first", number=self._version.number, act=act_said)
        elif act.asks or self._acts_alone(act):
            self._ask(act)
        else:
            self._do(act, "")

    def _acts_alone(self, act: VersionAct) -> bool:
        """Whether somebody would put a version in use that they wrote themselves."""
        if self._version is None or act.name != "put_in_use":
            return False
        return self._version.written_by(self._context.desk.person.id)

    def _ask(self, act: VersionAct) -> None:
        self._asked = act
        about: dict[str, Parameter] = {}
        if act.name == "override_finding" and self._version is not None:
            about = {"sentence": self._waiting[0].said, "number": self._version.number}
        self._question.setText(self._context.text(f"{AREA}.why.{act.name}", **about))
        self._confirm.setText(self._context.text(f"{AREA}.{act.name}"))
        self._answer.show()
        self.reason.setFocus()

    def _do_asked(self) -> None:
        if self._asked is not None:
            self._do(self._asked, self.reason.text())

    def _do(self, act: VersionAct, reason: str) -> None:
        version = self._version
        if version is None:
            return
        context, changes = self._context, (Topic.FORMULAS,)
        finding = self._waiting[0] if self._waiting else None
        if act.signed:
            title, number = version.content.title, version.number
            context.sign(
                act.name,
                context.text(f"{AREA}.signs.{act.name}", title=title, number=number),
                lambda desk, pin: act.verb(desk, version.id, Given(reason, pin, finding)),
                self._reasoned if act.name == "override_finding" else self._done,
                about=self._study(version) if act.name == "put_in_use" else (),
                changes=changes,
            )
            return
        given = Given(reason)
        done = self._read if act.name == "acknowledge_version" else self._done
        context.do(lambda desk: act.verb(desk, version.id, given), done, changes=changes)

    def _study(self, version: Version) -> tuple[ToRead, ...]:
        """Return the evidence that counts from the signature on, if the version names any."""
        from formulary.wording.reading import ToRead

        study = version.content.evidence
        if study is None:
            return ()
        said = message(
            f"{AREA}.study", period=period_said(study.period), citation=study.citation or "?"
        )
        return (ToRead((self._context.said(said),)),)

    def _reasoned(self, version: Version) -> None:
        self.moved.emit()
        self.ask_nothing()
        title, number = version.content.title, version.number
        self._context.say.tell(f"{AREA}.reasoned", title=title, number=number)

    def _read(self, version: Version) -> None:
        self.moved.emit()
        title, number = version.content.title, version.number
        self._context.say.tell(f"{AREA}.read", title=title, number=number)

    def _done(self, version: Version) -> None:
        self.moved.emit()
        self.ask_nothing()
        state = message(f"formula.state.{version.state.name.lower()}")
        self._context.say.tell(
            f"{AREA}.moved", title=version.content.title, number=version.number, state=state
        )
