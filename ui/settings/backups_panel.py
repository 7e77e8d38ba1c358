"""The section of Settings about backups: when they are made, what they hold, putting one back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, cast

from PySide6.QtGui import QAction, QHideEvent
from PySide6.QtWidgets import QLineEdit, QWidget
from PySide6.QtWidgets import QVBoxLayout as Column

from formulary.desk import Desk
from formulary.messages import message
from formulary.verifying import Verdict
from ui.context import Context, Topic
from ui.forms.form import Form
from ui.keeping.backup_choice import BackupChoice
from ui.keeping.keeper import Keeper
from ui.keeping.looking import AREA, Looked, put_in_place, said_of
from ui.settings.backup_fields import backup_fields
from ui.settings.names_panel import NamesPanel
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

if TYPE_CHECKING:
    from formulary.records.sql_store import SqlStore


class BackupsPanel(QWidget):
    """Its fields are saved with the house; the buttons act at once."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.keeper = Keeper.of(context)
        self._filled: list[Path] = []
        text = context.text
        self.form = Form(context, "ui_settings", backup_fields())
        self.choice = BackupChoice(context, self)
        self.again = QLineEdit()
        self.again.setEchoMode(QLineEdit.EchoMode.Password)
        for say in (self.again.setPlaceholderText, self.again.setAccessibleName):
            say(text(f"{AREA}.again"))
        self.names = NamesPanel(context)
        self.now = action(self, text(f"{AREA}.now"), "Ctrl+B", self._back_up)
        self.verify = action(self, text(f"{AREA}.verify"), "Ctrl+Shift+V", self._verify)
        self.restore = action(self, text(f"{AREA}.restore"), "Ctrl+Shift+R", self._restore)
        self._lay_out()
        self.choice.changed.connect(self._follow)

    @property
    def acts(self) -> tuple[QAction, ...]:
        """What is done here, by keys that are live wherever the section is in view."""
        return (self.now, self.choice.look, self.choice.other, self.restore, self.verify)

    def begin(self) -> None:
        """Show the backups there are."""
        self._fill()
        self._show_state()
        self.names.begin()

    def enter(self) -> None:
        """Go to the first field."""
        next(iter(self.form.inputs.values())).setFocus()

    def _lay_out(self) -> None:
        box = Column(self)
        spaced(box, inside=12)
        box.addWidget(self.form)
        box.addWidget(label(self._context.text(f"{AREA}.backups"), "heading"))
        box.addWidget(self.choice)
        box.addWidget(self.again)
        row = FlowLayout(gap=12)
        for each in self.acts:
            row.addWidget(button(each))
        box.addLayout(row)
        box.addWidget(self.choice.found)
        box.addWidget(self.names)

    def hideEvent(self, event: QHideEvent) -> None:
        """Leave no passphrase for whoever comes next."""
        super().hideEvent(event)
        self._forget_phrases()

    def _forget_phrases(self) -> None:
        for each in (self.choice.phrase, self.again):
            each.clear()

    def _places(self) -> list[Path]:
        folder = self.keeper.folder
        return [folder / each.name for each in self.keeper.backups] if folder else []

    def _follow(self) -> None:
        """Show the backups that came or went meanwhile, made on schedule or in another folder."""
        if self.keeper.run is None and self._places() != self._filled:
            self._fill()
        self._show_state()

    def _fill(self) -> None:
        folder, places = self.keeper.folder, self._places()
        self._filled = places
        key = "no_server" if folder is None else "nothing"
        nothing = self._context.text(f"{AREA}.{key}", place=str(folder or ""))
        self.choice.fill(folder, places, nothing)

    def _show_state(self) -> None:
        idle, here = self.keeper.run is None, self.keeper.file is not None
        self.now.setEnabled(idle and here)
        self.verify.setEnabled(idle and bool(self._context.location))
        self.choice.other.setEnabled(here)
        self.restore.setEnabled(idle and here)

    def _back_up(self) -> None:
        """Make one; a passphrase that nobody can see is typed twice."""
        phrase, again = self.choice.phrase.text(), self.again.text()
        if phrase != again:
            self._context.say.refuse(message(f"{AREA}.phrases_differ"))
            self.again.setFocus()
            return
        self.keeper.back_up(phrase, self._made)

    def _made(self) -> None:
        self._forget_phrases()
        self._fill()

    def _verify(self) -> None:
        desk, anchors = self._context.desk, [each.anchor for each in self.keeper.backups]

        def work(step: Callable[[int, int], None]) -> Verdict:
            from formulary.records.verifying import verify

            # What a window opens at a location is one.
            store = cast("SqlStore", desk.store)
            return verify(store, anchors, lambda entries: step(entries, 0))

        self.choice.found.say(message(f"{AREA}.verifying"))
        self.keeper.begin(work, self._verified)

    def _verified(self, verdict: Verdict) -> None:
        """Show what was found, above the fold and in the window's line."""
        said = said_of(verdict)
        self.choice.found.say(*said, bad=not verdict.good)
        self.choice.found.bring_into_view()
        if verdict.good:
            self._context.say.tell(said[0].key, **dict(said[0].parameters))
        else:
            self._context.say.refuse(said[0])

    def _restore(self) -> None:
        looked = self.choice.sound
        if looked is None:
            self._context.say.refuse(message(f"{AREA}.look_first"))
            return
        self._context.do(_entries, lambda entries: self._sign(looked, entries))

    def _sign(self, looked: Looked, entries: int) -> None:
        """Ask for the PIN, saying what was done since the backup."""
        file, phrase, text = self.keeper.file, self.choice.phrase.text(), self._context.text
        if file is None:
            return

        def act(desk: Desk, pin: str) -> Path | None:
            with cast("SqlStore", desk.store).let_go():
                return put_in_place(looked.place, phrase, file, desk.person.id, pin)

        meaning = text(f"{AREA}.meaning", name=looked.place.name)
        since = text(f"{AREA}.since", n=max(0, entries - looked.entries))
        self._context.sign("restore", f"{meaning}. {since}", act, self._restored)

    def _restored(self, aside: Path | None) -> None:
        key, place = f"{AREA}.restored", str(aside or "")
        self._context.say.tell(key, place=place)
        for topic in Topic:
            self._context.tell_changed(topic)
        self._fill()
        self.choice.found.say(message(key, place=place))
        self.choice.found.bring_into_view()


def _entries(desk: Desk) -> int:
    last = desk.store.last_entry()
    return 0 if last is None else last.number
