"""The key of the names in the window: save a copy, take one over, put names under one."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from formulary.desk import Desk
from formulary.roles import MAY
from ui.context import Context, Topic
from ui.files import ask_to_open, ask_to_save

AREA = "ui_keeping"
FILE = "misce-names.key"


class NamesKey(QObject):
    """One for each place that offers it. ``changed`` tells that something may stand otherwise."""

    changed = Signal()

    def __init__(self, context: Context, place: QWidget) -> None:
        super().__init__(place)
        self._context, self._place = context, place
        context.changed.connect(self._heard)
        context.seated.connect(self.changed.emit)

    def _heard(self, topic: str) -> None:
        if topic == Topic.HOUSE.value:
            self.changed.emit()

    @property
    def is_under_one(self) -> bool:
        """Whether the names of the open house are under a key."""
        return bool(self._context.house.names_key)

    @property
    def is_here(self) -> bool:
        """Whether this computer has that key."""
        from formulary.records.name_key import has_key

        return self.is_under_one and has_key(self._context.house.names_key)

    @property
    def is_saved(self) -> bool:
        """Whether somebody kept a copy of it."""
        return self._context.house.names_key_saved

    def may(self, verb: str) -> bool:
        """Tell whether whoever is signed in may do it; with nobody there it is asked for first."""
        return not self._context.signed_in or self._context.desk.person.post in MAY[verb]

    def save(self) -> None:
        """Ask where a copy of the key goes, then for the PIN, and write it there."""
        title = self._context.text(f"{AREA}.save_key")
        ask_to_save(self._place, title, FILE, self._save)

    def take_over(self) -> None:
        """Ask for the copy of a key, and bring that to this computer."""
        ask_to_open(self._place, self._context.text(f"{AREA}.take_key"), self._take)

    def lock(self) -> None:
        """Keep names under this computer's key from now on, those that are there, too."""
        self._context.do(put_under_key, self._locked)

    def _save(self, place: Path) -> None:
        def act(desk: Desk, pin: str) -> None:
            from formulary.records.name_key import write_copy
            from formulary.verbs.carry_key import save_key

            save_key(desk, pin, lambda key: write_copy(key, place))

        meaning = self._context.text(f"{AREA}.saving_key", place=str(place))
        self._context.sign("save_names_key", meaning, act, lambda _: self._done("key_saved", place))

    def _take(self, place: Path) -> None:
        def act(desk: Desk) -> None:
            from formulary.records.name_key import take_over
            from formulary.verbs.carry_key import take_over_key

            take_over_key(desk, lambda key: take_over(place, key))

        def taken(_: None) -> None:
            self._done("key_taken", place)
            for topic in (Topic.ORDERS, Topic.PREPARATIONS):
                self._context.tell_changed(topic)

        self._context.do(act, taken)

    def _locked(self, count: int) -> None:
        self._context.say.tell(f"{AREA}.locked", n=count)
        self._context.tell_changed(Topic.HOUSE)

    def _done(self, said: str, place: Path) -> None:
        self._context.say.tell(f"{AREA}.{said}", place=str(place))
        self._context.tell_changed(Topic.HOUSE)


def put_under_key(desk: Desk) -> int:
    """Put the names under this computer's key, made if there is none; return how many."""
    from formulary.records.name_key import own_key
    from formulary.verbs.lock_names import keep_names_under

    desk.may("lock_names")
    return keep_names_under(desk, own_key())
