"""The part of Settings about the names of patients and prescribers: their key, their end."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, cast

from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.desk import Desk
from ui import signs
from ui.context import Context, Topic
from ui.files import ask_to_open, ask_to_save
from ui.forms.signed_text import SignedText
from ui.keeping.keeper import Keeper
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

if TYPE_CHECKING:
    from formulary.records.names_kept import NamesKept
    from formulary.records.sql_store import SqlStore

AREA = "ui_keeping"
COPY_NAME = "names-key.txt"


class NamesPanel(QWidget):
    """Says how names are kept here; each button is one signed act."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.context = context
        text = context.text
        self.state = label(role="note")
        self.warning = SignedText(context, signs.Sign.TRIANGLE, "thought", worded=False)
        self.lock = action(self, text(f"{AREA}.lock"), "", self._lock)
        self.copy = action(self, text(f"{AREA}.copy_key"), "", self._ask_for_copy)
        self.take = action(self, text(f"{AREA}.take_key"), "", self._ask_for_key)
        self.erase = action(self, text(f"{AREA}.erase"), "", self._erase)
        box = QVBoxLayout(self)
        spaced(box, inside=12)
        box.addWidget(label(text(f"{AREA}.names"), "heading"))
        box.addWidget(self.state)
        box.addWidget(self.warning)
        row = FlowLayout(gap=12)
        for each in (self.lock, self.copy, self.take):
            row.addWidget(button(each))
        box.addLayout(row)
        box.addWidget(label(text(f"{AREA}.about_names"), "note"))
        erasing = FlowLayout(gap=12)
        erasing.addWidget(button(self.erase))
        box.addLayout(erasing)

    def begin(self) -> None:
        """Ask how names are kept here."""
        self.warning.say([])
        if self.context.location:
            self.context.do(names_here, self._show, lane="settings.names")

    def _show(self, kept: NamesKept) -> None:
        text = self.context.text
        key = "locked" if kept.has_key and not kept.plain else "plain"
        self.state.setText(text(f"{AREA}.names_{key}"))
        warnings = []
        if not kept.opens:
            warnings.append(text(f"{AREA}.key_missing"))
        elif kept.has_key and not kept.is_copied:
            warnings.append(text(f"{AREA}.key_uncopied"))
        self.warning.say(warnings)
        self.lock.setEnabled(key == "plain" and kept.opens)
        self.copy.setEnabled(kept.has_key)
        Keeper.of(self.context).changed.emit()

    def _lock(self) -> None:
        from formulary.verbs.lock_names import keep_names_anew

        self.context.do(keep_names_anew, self._locked)

    def _locked(self, count: int) -> None:
        self.context.say.tell(f"{AREA}.locked", n=count)
        self.begin()

    def _ask_for_copy(self) -> None:
        ask_to_save(self, self.context.text(f"{AREA}.copy_key"), COPY_NAME, self._copy)

    def _copy(self, place: Path) -> None:
        def act(desk: Desk, pin: str) -> None:
            from formulary.verbs.lock_names import copy_names_key

            copy_names_key(desk, pin, place)

        def copied(_: None) -> None:
            self.context.say.tell(f"{AREA}.key_copied", place=str(place))
            self.begin()

        self.context.sign(
            "copy_names_key", self.context.text(f"{AREA}.copying", place=str(place)), act, copied
        )

    def _ask_for_key(self) -> None:
        ask_to_open(self, self.context.text(f"{AREA}.take_key"), self._take)

    def _take(self, place: Path) -> None:
        def act(desk: Desk) -> int:
            from formulary.verbs.lock_names import take_names_key

            return take_names_key(desk, place)

        self.context.do(act, self._taken, changes=(Topic.ORDERS, Topic.PREPARATIONS))

    def _taken(self, count: int) -> None:
        self.context.say.tell(f"{AREA}.key_taken", n=count)
        self.begin()

    def _erase(self) -> None:
        self.context.sign("erase_people", self.context.text(f"{AREA}.erasing"), erase, self._erased)

    def _erased(self, count: int) -> None:
        self.context.say.tell(f"{AREA}.erased", n=count)
        for topic in (Topic.ORDERS, Topic.PREPARATIONS):
            self.context.tell_changed(topic)
        self.begin()


def erase(desk: Desk, pin: str) -> int:
    """Erase the names whose time has ended, signed by whoever sits at the desk."""
    from formulary.verbs.erase_people import erase_people

    return erase_people(desk, pin)


def names_here(desk: Desk) -> NamesKept:
    """Return how names are kept in the open formulary."""
    # What a window opens at a location is one.
    return cast("SqlStore", desk.store).names_kept()
