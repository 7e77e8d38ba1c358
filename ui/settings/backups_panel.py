"""The section of Settings about backups: when they are made, what they hold, putting one back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, cast

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QLineEdit, QListWidget, QListWidgetItem, QWidget
from PySide6.QtWidgets import QVBoxLayout as Column

from formulary.backups import named
from formulary.desk import Desk
from formulary.messages import Message, message
from formulary.verifying import Verdict
from ui.context import Context, Topic
from ui.forms.form import Form
from ui.keeping.keeper import Keeper
from ui.settings.backup_fields import backup_fields
from ui.settings.names_panel import NamesPanel
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, set_role, spaced

if TYPE_CHECKING:
    from formulary.records.sql_store import SqlStore

AREA = "ui_keeping"
_PLACE = Qt.ItemDataRole.UserRole
SHOWN_DIGITS = 16
MOST_SAID = 8


@dataclass(frozen=True, slots=True)
class Looked:
    """What a look into a backup found: sentences, and whether it may take the formulary's place."""

    place: str
    said: tuple[Message, ...]
    sound: bool


class BackupsPanel(QWidget):
    """Its fields are saved with the house; the buttons act at once."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.keeper = Keeper.of(context)
        self._looked: Looked | None = None
        text = context.text
        self.form = Form(context, "ui_settings", backup_fields())
        self.phrase = QLineEdit()
        self.phrase.setEchoMode(QLineEdit.EchoMode.Password)
        for say in (self.phrase.setPlaceholderText, self.phrase.setAccessibleName):
            say(text(f"{AREA}.passphrase"))
        self.list = set_role(QListWidget(), "words")
        self.list.setAccessibleName(text(f"{AREA}.backups"))
        self.found = label(role="note")
        self.names = NamesPanel(context)
        self.now = action(self, text(f"{AREA}.now"), "Ctrl+B", self._back_up)
        self.verify = action(self, text(f"{AREA}.verify"), "Ctrl+Shift+V", self._verify)
        self.look = action(self, text(f"{AREA}.look"), "Ctrl+L", self._look)
        self.other = action(self, text(f"{AREA}.other"), "", self._choose)
        self.restore = action(self, text(f"{AREA}.restore"), "Ctrl+Shift+R", self._restore)
        self._lay_out()
        self.list.itemActivated.connect(lambda _: self._look())
        self.list.currentItemChanged.connect(lambda *_: self._forget())
        self.keeper.changed.connect(self._show_state)

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
        self.none = label(role="note")
        box.addWidget(self.none)
        box.addWidget(self.list)
        box.addWidget(self.phrase)
        row = FlowLayout(gap=12)
        for each in (self.now, self.look, self.other, self.restore, self.verify):
            row.addWidget(button(each))
        box.addLayout(row)
        box.addWidget(self.found)
        box.addWidget(self.names)

    def _fill(self, also: Path | None = None) -> None:
        folder = self.keeper.folder
        places = [folder / each.name for each in self.keeper.backups] if folder else []
        self.list.clear()
        for place in ([also] if also else []) + places:
            item = QListWidgetItem(self._line(place))
            item.setData(_PLACE, str(place))
            self.list.addItem(item)
        self.list.setCurrentRow(0)
        self.list.setVisible(self.list.count() > 0)
        key = "no_server" if folder is None else "nothing"
        self.none.setText(self._context.text(f"{AREA}.{key}", place=str(folder or "")))
        self.none.setVisible(self.list.count() == 0)

    def _line(self, place: Path) -> str:
        known = named(place.name)
        if known is None:
            return str(place)
        key = f"{AREA}.line_locked" if known.locked else f"{AREA}.line"
        return self._context.text(key, at=known.at, n=known.number)

    def _show_state(self) -> None:
        idle, here = self.keeper.run is None, self.keeper.file is not None
        self.now.setEnabled(idle and here)
        self.verify.setEnabled(idle and bool(self._context.location))
        self.other.setEnabled(here)
        self.look.setEnabled(idle and self.list.count() > 0)
        self.restore.setEnabled(idle and self._looked is not None and self._looked.sound)

    def _forget(self) -> None:
        """Let a look that was into another backup count no more."""
        self._looked = None
        self._show_state()

    def _say(self, *said: Message) -> None:
        self.found.setText("\n".join(self._context.said(each) for each in said))

    def _back_up(self) -> None:
        self.keeper.back_up(self.phrase.text(), self._fill)

    def _verify(self) -> None:
        desk, anchors = self._context.desk, [each.anchor for each in self.keeper.backups]

        def work(step: Callable[[int, int], None]) -> Verdict:
            from formulary.records.verifying import verify

            # What a window opens at a location is one.
            store = cast("SqlStore", desk.store)
            return verify(store, anchors, lambda entries: step(entries, 0))

        self._say(message(f"{AREA}.verifying"))
        self.keeper.begin(work, lambda verdict: self._say(*said_of(verdict)))

    def _choose(self) -> None:
        title = self._context.text(f"{AREA}.other")
        chosen, _ = QFileDialog.getOpenFileName(self, title, str(self.keeper.folder or ""))
        if chosen:
            self._fill(Path(chosen))

    def _chosen(self) -> str:
        return str(self.list.currentItem().data(_PLACE)) if self.list.currentRow() >= 0 else ""

    def _look(self) -> None:
        place, phrase = self._chosen(), self.phrase.text()
        if not place:
            return

        def work(_step: Callable[[int, int], None]) -> Looked:
            from formulary.records.restoring import tried

            with tried(Path(place), phrase) as found:
                held = found.held
                said = [
                    message(
                        f"{AREA}.held",
                        formulas=held.formulas,
                        preparations=held.preparations,
                        orders=held.orders,
                        people=held.people,
                    )
                ]
                if found.last is not None:
                    act = found.last.act
                    said.append(message(f"{AREA}.last", at=act.at, by=act.person))
                return Looked(place, (*said, *said_of(found.verdict)), found.verdict.sound)

        self._say(message(f"{AREA}.looking"))
        self.keeper.begin(work, self._has_looked)

    def _has_looked(self, looked: Looked) -> None:
        self._looked = looked
        self._say(*looked.said)

    def _restore(self) -> None:
        looked, file, phrase = self._looked, self.keeper.file, self.phrase.text()
        if looked is None or file is None:
            return

        def act(desk: Desk, pin: str) -> Path | None:
            return put_back(desk, pin, Path(looked.place), phrase, file)

        meaning = self._context.text(f"{AREA}.meaning", name=Path(looked.place).name)
        self._context.sign("restore", meaning, act, self._restored)

    def _restored(self, aside: Path | None) -> None:
        self._say(message(f"{AREA}.restored", place=str(aside or "")))
        self._context.say.tell(f"{AREA}.restored", place=str(aside or ""))
        for topic in Topic:
            self._context.tell_changed(topic)
        self._forget()


def said_of(verdict: Verdict) -> tuple[Message, ...]:
    """Return what a check found as sentences, the first of many."""
    if verdict.good:
        head = f"{verdict.entries}:{verdict.head[:SHOWN_DIGITS]}"
        good = message(f"{AREA}.good", n=verdict.entries, records=verdict.records, head=head)
        return (good, *verdict.notes)
    way_on = message(f"{AREA}.{'astray' if verdict.sound else 'not_good'}")
    return (*(each.said for each in verdict.doubts[:MOST_SAID]), way_on, *verdict.notes)


def put_back(desk: Desk, pin: str, backup: Path, phrase: str, file: Path) -> Path | None:
    """Put a backup in the formulary's place, signed in it by whoever sits at the desk.

    The store lets go of the file first, and goes on with the new one when it is next asked.
    """
    from formulary.records.restoring import restore, tried
    from formulary.verbs.sign_in import sign_in

    desk.store.close()
    with tried(backup, phrase, beside=file) as found:
        there = replace(desk, store=found.store, known_house=None, signed_in=False)
        return restore(found, file, sign_in(there, desk.person.id, pin))
