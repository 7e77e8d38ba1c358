"""A formulary that can't be opened: why, trying again, and putting a backup in its place."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.errors import FormularyError
from formulary.messages import message
from ui import places
from ui.context import Context
from ui.first_start.column import column
from ui.forms.signed_text import SignedText
from ui.keeping.backup_choice import BackupChoice
from ui.keeping.keeper import Keeper
from ui.keeping.looking import Looked, put_in_place
from ui.keeping.strip import KeepingStrip
from ui.sign_in.asking import pins_of_sample
from ui.sign_in.dialog import Answered, Failed, PinDialog, Question
from ui.signs import Sign
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, hairline, label, spaced

AREA = "ui_first_start.not_open"
MEASURE = 720
NEWER = "store.from_newer_version"
_PASSING = frozenset(
    f"store.trouble.{each}"
    for each in (
        "locked",
        "read_only",
        "read_only_disk",
        "cannot_open",
        "cannot_reach",
        "server_overloaded",
        "disk_full",
        "disk_error",
        "taken_away",
    )
)
"""What lies in the surroundings: the formulary itself may be whole, so it is opened again."""


class NotOpenPage(QWidget):
    """Nothing is open while it shows; each way on is a signal.

    Without a ``trouble`` somebody only wants a backup in the formulary's place.
    """

    again_wanted = Signal()
    other_wanted = Signal()
    restored = Signal(object)
    help_page = "first-start"

    def __init__(self, context: Context, location: str, trouble: FormularyError | None) -> None:
        super().__init__()
        self.setObjectName("paper")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._context, self._location = context, location
        self._file = None if "://" in location else Path(location)
        text = context.text
        self.again = action(self, text(f"{AREA}.again"), "F5", self.again_wanted.emit)
        self.other = action(self, text(f"{AREA}.other"), "Ctrl+O", self.other_wanted.emit)
        self.restore = action(self, text("ui_keeping.restore"), "Ctrl+Shift+R", self._restore)
        self.choice = BackupChoice(context, self)
        self.why = SignedText(context, Sign.OCTAGON, "stop")
        key = "" if trouble is None else trouble.message.key
        self._restorable = self._file is not None and key not in _PASSING
        self._again_button = button(self.again, accent=not self._restorable)
        self._lay_out(trouble)
        self.choice.changed.connect(self._show_state)
        self.choice.wanted.connect(self._restore)
        self._show_state()

    def shown(self) -> None:
        """Come to the front; the backups are tried one after the other."""
        if self._restorable:
            self._fill(Path(places.backups_of(self._location)))
        if self.choice.list.count():
            self.choice.list.setFocus()
        else:
            self._again_button.setFocus()

    def take(self, subject: object) -> None:
        """Nothing is handed over before anything is open."""

    def _lay_out(self, trouble: FormularyError | None) -> None:
        text = self._context.text
        title = text(f"{AREA}.{'title' if trouble is not None else 'restore_heading'}")
        middle, box = column(title, MEASURE)
        box.addWidget(label(title, "title"))
        box.addWidget(self.why)
        self.why.say([] if trouble is None else [self._context.said(trouble.message)])
        row = FlowLayout()
        row.addWidget(self._again_button)
        row.addWidget(button(self.other))
        box.addLayout(row)
        box.addWidget(self._restoring(trouble))
        box.addStretch(1)
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(KeepingStrip(self._context, Keeper.of(self._context), self))
        whole.addWidget(middle, 1)
        self._again_button.setVisible(trouble is not None)

    def _restoring(self, trouble: FormularyError | None) -> QWidget:
        """Return the part that puts a backup in place, hidden where that mends nothing."""
        text, key = self._context.text, "" if trouble is None else trouble.message.key
        part = QWidget(self)
        box = QVBoxLayout(part)
        spaced(box, inside=12)
        if trouble is not None:
            box.addWidget(hairline())
            box.addWidget(label(text(f"{AREA}.restore_heading"), "heading"))
        about = "restore_newer" if key == NEWER else "restore_about"
        box.addWidget(label(text(f"{AREA}.{about}", place=self._location)))
        box.addWidget(self.choice)
        row = FlowLayout()
        row.addWidget(button(self.restore, accent=True))
        for each in (self.choice.look, self.choice.other):
            row.addWidget(button(each))
        box.addLayout(row)
        box.addWidget(self.choice.found)
        part.setVisible(self._restorable)
        return part

    def _fill(self, folder: Path) -> None:
        from formulary.records.backup import backups_in

        found = [folder / each.name for each in backups_in(folder)]
        nothing = self._context.text(f"{AREA}.no_backup", place=str(folder))
        self.choice.fill(folder, found, nothing)
        self.choice.try_each()

    def _show_state(self) -> None:
        self.restore.setEnabled(self.choice.sound is not None)

    def _restore(self) -> None:
        looked, file = self.choice.sound, self._file
        if looked is None or file is None:
            return
        if not looked.people:
            self._context.say.refuse(message("ui_sign_in.nobody_can"))
            return
        PinDialog(self._context, self._question(looked, file), self).open()

    def _question(self, looked: Looked, file: Path) -> Question:
        """Return the question for the PIN of somebody of the backup's house."""
        phrase, text = self.choice.phrase.text(), self._context.text

        def attempt(by: Answered, done: Callable[[], None], failed: Failed) -> None:
            def put(aside: Path | None) -> None:
                done()
                self.restored.emit(aside)

            self._context.operations.start(
                lambda: put_in_place(looked.place, phrase, file, by.person_id, by.pin),
                put,
                failed=failed,
            )

        meaning = text("ui_keeping.meaning", name=looked.place.name)
        note = pins_of_sample(self._context) if looked.sample else ""
        first = looked.people[0].id
        return Question(meaning, text("ui_sign_in.sign"), looked.people, first, attempt, note)
