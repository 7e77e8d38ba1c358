"""The backups there are, one to choose: each with its date and what a look into it found."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from formulary.backups import named
from formulary.messages import message
from ui.context import Context
from ui.files import ask_to_open
from ui.keeping.answer import Answer
from ui.keeping.keeper import Keeper
from ui.keeping.looking import AREA, Looked, look_into, looked_or_told, needs_passphrase
from ui.widgets.words import action, label, set_role, spaced

_PLACE = Qt.ItemDataRole.UserRole


class BackupChoice(QWidget):
    """A look is long work of the keeper's; ``changed`` tells that another one counts now.

    The keys of its acts are live in the whole of ``page``, which has their buttons and ``found``.
    """

    changed = Signal()
    wanted = Signal()
    """Enter on one that was looked into."""

    def __init__(self, context: Context, page: QWidget) -> None:
        super().__init__()
        self._context = context
        self.keeper = Keeper.of(context)
        self._folder: Path | None = None
        self._looked: dict[Path, Looked] = {}
        self._waiting: deque[Path] = deque()
        text = context.text
        self.none = label(role="note")
        self.list = set_role(QListWidget(), "words")
        self.list.setAccessibleName(text(f"{AREA}.backups"))
        self.phrase = QLineEdit()
        self.phrase.setEchoMode(QLineEdit.EchoMode.Password)
        for say in (self.phrase.setPlaceholderText, self.phrase.setAccessibleName):
            say(text(f"{AREA}.passphrase"))
        self.look = action(page, text(f"{AREA}.look"), "Ctrl+L", self._look)
        self.other = action(page, text(f"{AREA}.other"), "", self._choose)
        self.found = Answer(context)
        box = QVBoxLayout(self)
        spaced(box, inside=12)
        for each in (self.none, self.list, self.phrase):
            box.addWidget(each)
        self.list.itemActivated.connect(lambda _: self._enter())
        self.list.currentItemChanged.connect(lambda *_: self._show_found())
        self.keeper.changed.connect(self._follow)

    @property
    def sound(self) -> Looked | None:
        """What was found in the chosen backup, if it may take the formulary's place."""
        looked = self._looked.get(self._chosen()) if self.list.currentRow() >= 0 else None
        return looked if looked is not None and looked.sound else None

    def fill(self, folder: Path | None, places: Sequence[Path], nothing: str) -> None:
        """Offer the backups of a folder, newest first, or say that there are none."""
        self._folder = folder
        self._looked = {}
        self.none.setText(nothing)
        self._offer(places)

    def try_each(self) -> None:
        """Look into all that need no passphrase, one after the other."""
        places = (self._place(row) for row in range(self.list.count()))
        self._waiting.extend(each for each in places if not needs_passphrase(each))
        self._follow()

    def _offer(self, places: Sequence[Path]) -> None:
        self.list.clear()
        for place in places:
            item = QListWidgetItem(self._line(place))
            item.setData(_PLACE, str(place))
            self.list.addItem(item)
        self.list.setCurrentRow(0)
        self.list.setVisible(bool(places))
        self.none.setVisible(not places)
        self._show_found()

    def _place(self, row: int) -> Path:
        return Path(str(self.list.item(row).data(_PLACE)))

    def _chosen(self) -> Path:
        return self._place(self.list.currentRow())

    def _line(self, place: Path) -> str:
        known, text = named(place.name), self._context.text
        if known is None:
            line = str(place)
        else:
            key = f"{AREA}.line_locked" if known.locked else f"{AREA}.line"
            line = text(key, at=known.at.astimezone(), n=known.number)
        looked = self._looked.get(place)
        if looked is None:
            return line
        return text(f"{AREA}.{'line_sound' if looked.sound else 'line_unsound'}", line=line)

    def _show_found(self) -> None:
        looked = self._looked.get(self._chosen()) if self.list.currentRow() >= 0 else None
        self.found.say(*(looked.said if looked else ()), bad=bool(looked and not looked.sound))
        self._show_state()

    def _show_state(self) -> None:
        self.look.setEnabled(self.keeper.run is None and self.list.count() > 0)
        self.changed.emit()

    def _enter(self) -> None:
        if self.sound is None:
            self._look()
        else:
            self.wanted.emit()

    def _look(self) -> None:
        """Look into the chosen one, with the passphrase that stands there now."""
        if self.list.currentRow() < 0 or self.keeper.run is not None:
            return
        place, phrase = self._chosen(), self.phrase.text()
        self.found.say(message(f"{AREA}.looking"))
        self.keeper.begin(lambda step: look_into(place, phrase, step), self._answer)

    def _follow(self) -> None:
        """Go on with the next one that waits, once nothing else is under way."""
        if self._waiting and self.keeper.run is None:
            place = self._waiting.popleft()
            work = partial(looked_or_told, place)
            self.keeper.begin(work, self._has_looked, ended=self._waiting.clear)
        else:
            self._show_state()

    def _answer(self, looked: Looked) -> None:
        """Show what somebody asked for, above the fold and in the window's line."""
        self._has_looked(looked)
        self.found.bring_into_view()
        if looked.sound:
            self._context.say.tell(f"{AREA}.looked", line=self._line(looked.place))
        else:
            self._context.say.refuse(looked.said[-1])

    def _has_looked(self, looked: Looked) -> None:
        self._looked[looked.place] = looked
        for row in range(self.list.count()):
            if self._place(row) == looked.place:
                self.list.item(row).setText(self._line(looked.place))
        self._show_found()

    def _choose(self) -> None:
        ask_to_open(self, self.other.text(), self._take, folder=self._folder)

    def _take(self, place: Path) -> None:
        """Put a file from elsewhere first in the list, and look into it next."""
        rest = (self._place(row) for row in range(self.list.count()))
        self._offer([place, *(each for each in rest if each != place)])
        if needs_passphrase(place):
            self.phrase.setFocus()
        else:
            self._waiting.appendleft(place)
            self._follow()
