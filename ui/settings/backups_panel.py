"""The section of Settings about backups: when they are made, what they hold, putting one back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, cast

from PySide6.QtWidgets import QVBoxLayout as Column
from PySide6.QtWidgets import QWidget

from formulary.desk import Desk
from formulary.messages import message
from formulary.verifying import Verdict
from ui.context import Context, Topic
from ui.forms.form import Form
from ui.keeping.backup_choice import BackupChoice
from ui.keeping.keeper import Keeper
from ui.keeping.looking import AREA, put_in_place, said_of
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
        text = context.text
        self.form = Form(context, "ui_settings", backup_fields())
        self.choice = BackupChoice(context, self)
        self.names = NamesPanel(context)
        self.now = action(self, text(f"{AREA}.now"), "Ctrl+B", self._back_up)
        self.verify = action(self, text(f"{AREA}.verify"), "Ctrl+Shift+V", self._verify)
        self.restore = action(self, text(f"{AREA}.restore"), "Ctrl+Shift+R", self._restore)
        self._lay_out()
        self.choice.changed.connect(self._show_state)

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
        row = FlowLayout(gap=12)
        for each in (self.now, self.choice.look, self.choice.other, self.restore, self.verify):
            row.addWidget(button(each))
        box.addLayout(row)
        box.addWidget(self.choice.found)
        box.addWidget(self.names)

    def _fill(self) -> None:
        folder = self.keeper.folder
        places = [folder / each.name for each in self.keeper.backups] if folder else []
        key = "no_server" if folder is None else "nothing"
        nothing = self._context.text(f"{AREA}.{key}", place=str(folder or ""))
        self.choice.fill(folder, places, nothing)

    def _show_state(self) -> None:
        idle, here = self.keeper.run is None, self.keeper.file is not None
        self.now.setEnabled(idle and here)
        self.verify.setEnabled(idle and bool(self._context.location))
        self.choice.other.setEnabled(here)
        self.restore.setEnabled(idle and self.choice.sound is not None)

    def _back_up(self) -> None:
        self.keeper.back_up(self.choice.phrase.text(), self._fill)

    def _verify(self) -> None:
        desk, anchors = self._context.desk, [each.anchor for each in self.keeper.backups]

        def work(step: Callable[[int, int], None]) -> Verdict:
            from formulary.records.verifying import verify

            # What a window opens at a location is one.
            store = cast("SqlStore", desk.store)
            return verify(store, anchors, lambda entries: step(entries, 0))

        self.choice.say(message(f"{AREA}.verifying"))
        self.keeper.begin(work, lambda verdict: self.choice.say(*said_of(verdict)))

    def _restore(self) -> None:
        looked, file, phrase = self.choice.sound, self.keeper.file, self.choice.phrase.text()
        if looked is None or file is None:
            return

        def act(desk: Desk, pin: str) -> Path | None:
            # It goes on with the new file when it is next asked.
            desk.store.close()
            return put_in_place(looked.place, phrase, file, desk.person.id, pin)

        meaning = self._context.text(f"{AREA}.meaning", name=looked.place.name)
        self._context.sign("restore", meaning, act, self._restored)

    def _restored(self, aside: Path | None) -> None:
        key, place = f"{AREA}.restored", str(aside or "")
        self._context.say.tell(key, place=place)
        for topic in Topic:
            self._context.tell_changed(topic)
        self._fill()
        self.choice.say(message(key, place=place))
