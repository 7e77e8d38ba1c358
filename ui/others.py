"""What others write shows without a restart, and a lost server is said until it is back.

A thread of its own waits for what the store hears; the pages then read again what they show, as
after an act of this window. What somebody is typing stays: forms never read again by themselves.
"""

from __future__ import annotations

import threading
from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from formulary.errors import StoreTrouble
from formulary.messages import message
from ui.context import Context, Topic

if TYPE_CHECKING:
    from formulary.store import Change, Store

AGAIN_SECONDS = 2.0
"""How long until a lost server is tried again."""

_TOPICS: dict[str, tuple[Topic, ...]] = {
    "formula": (Topic.FORMULAS,),
    "version": (Topic.FORMULAS,),
    "dossier item": (Topic.FORMULAS,),
    "read mark": (Topic.FORMULAS,),
    "overriding": (Topic.FORMULAS,),
    "house rule": (Topic.FORMULAS,),
    "draft": (Topic.DRAFTS,),
    "ingredient": (Topic.INGREDIENTS,),
    "house": (Topic.HOUSE,),
    "house layout": (Topic.HOUSE,),
    "person": (Topic.PEOPLE,),
    "kept calculation": (Topic.CALCULATIONS,),
    "supply lot": (Topic.STOCK,),
    "stock container": (Topic.STOCK,),
    "stock move": (Topic.STOCK,),
    "counted good": (Topic.STOCK,),
    "stock level": (Topic.STOCK,),
    "recall": (Topic.STOCK, Topic.PREPARATIONS),
    "order": (Topic.ORDERS,),
    "preparation": (Topic.PREPARATIONS,),
    "bench event": (Topic.PREPARATIONS,),
    "filled jar": (Topic.PREPARATIONS,),
    "label print": (Topic.PREPARATIONS,),
    "complaint": (Topic.PREPARATIONS,),
    "balance check": (Topic.EQUIPMENT,),
    "equipment note": (Topic.EQUIPMENT,),
}


class Others(QObject):
    """Tells the pages what others changed in the formulary that is open."""

    heard = Signal(object)
    lost = Signal(object)
    back = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self._context = context
        self._store: Store | None = None
        self._stop = threading.Event()
        self.heard.connect(self._tell)
        self.lost.connect(self._say_lost)
        self.back.connect(self._say_back)
        context.opened.connect(self._begin)
        context.left.connect(self._end)

    def _begin(self) -> None:
        store = self._context.desk.store
        if store is self._store:
            return
        self._end()
        self._store, self._stop = store, threading.Event()
        watch = _Watch(self, store, self._stop)
        threading.Thread(target=watch.run, name="others", daemon=True).start()

    def _end(self) -> None:
        self._stop.set()
        self._store = None

    def _tell(self, changes: Sequence[Change]) -> None:
        kinds = {kind for change in changes for kind in change.kinds}
        topics = {topic: None for kind in sorted(kinds) for topic in _TOPICS.get(kind, ())}
        if self._context.is_open:
            for topic in topics:
                self._context.tell_changed(topic)

    def _say_lost(self, trouble: StoreTrouble) -> None:
        self._context.say.refuse(message("ui.others.lost", why=trouble.message))

    def _say_back(self) -> None:
        """Let the pages read what they couldn't while it was lost."""
        self._context.say.tell("ui.others.back")
        for topic in Topic:
            self._context.tell_changed(topic)


class _Watch:
    """Watches one store on its own thread, again and again while it is lost."""

    def __init__(self, others: Others, store: Store, stop: threading.Event) -> None:
        self._others, self._store, self._stop = others, store, stop
        self._seen = -1
        self._is_lost = False

    def run(self) -> None:
        """Watch until told to stop."""
        while not self._stop.is_set():
            try:
                self._listen()
            except StoreTrouble as trouble:
                if not self._is_lost and not self._stop.is_set():
                    self._others.lost.emit(trouble)
                self._is_lost = True
                self._stop.wait(AGAIN_SECONDS)
            else:
                return

    def _listen(self) -> None:
        if self._seen < 0:
            newest = self._store.last_entry()
            self._seen = 0 if newest is None else newest.number
        for changes in self._store.watch(self._stop, self._seen):
            if self._is_lost:
                self._is_lost = False
                self._others.back.emit()
            if changes:
                self._seen = changes[-1].number
                self._others.heard.emit(changes)
