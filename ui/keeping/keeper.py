"""Makes backups when they are due while the window is open, and knows how old the newest is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any, TypeVar

from PySide6.QtCore import QObject, QTimer, Signal

from formulary.backups import Backup, BackupPlan
from formulary.clock import local
from formulary.errors import FormularyError
from ui.context import Context
from ui.keeping.run import Run
from ui.receivers import is_gone

T = TypeVar("T")
LOOK_MS = 60_000
"""How often it looks whether one is due."""

FIRST_LOOK_MS = 15_000
"""Opening the window comes first."""


class Keeper(QObject):
    """One for a window. ``changed`` tells that a backup began, went on or ended."""

    changed = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self._context = context
        self.run: Run | None = None
        self.part, self.whole = 0, 0
        self._then: Callable[[], object] | None = None
        self._look = QTimer(self, interval=LOOK_MS)
        self._look.timeout.connect(self.look)
        self._look.start()
        QTimer.singleShot(FIRST_LOOK_MS, self, self.look)

    @classmethod
    def of(cls, context: Context) -> Keeper:
        """Return the one keeper of a context, made when it is first asked for."""
        found = context.findChild(cls)
        return found if isinstance(found, cls) else cls(context)

    @property
    def plan(self) -> BackupPlan:
        """How the house keeps its backups."""
        return self._context.house.backups or BackupPlan()

    @property
    def file(self) -> Path | None:
        """The file that is backed up; None for a server, which has its own ways."""
        location = self._context.location
        return Path(location) if location and "://" not in location else None

    @property
    def folder(self) -> Path | None:
        """Where backups lie."""
        from formulary.backups import folder_for

        return None if self.file is None else folder_for(self.file, self.plan.folder)

    @property
    def backups(self) -> Sequence[Backup]:
        """The backups there are, newest first."""
        from formulary.records.backup import backups_in

        return () if self.folder is None else backups_in(self.folder)

    @property
    def newest(self) -> datetime | None:
        """When the newest good backup was made; each was tried before it got its name."""
        return next((each.at for each in self.backups), None)

    @property
    def _minds(self) -> bool:
        """Whether there is a file to mind. Until it is open, who knows what house it is of."""
        is_open = self._context.is_open and self.file is not None
        return is_open and not self._context.house.sample

    @property
    def is_overdue(self) -> bool:
        """Whether somebody must hear that the newest backup is old. Sample houses need none."""
        return self._minds and self.plan.overdue(self.newest, self._now())

    def look(self) -> None:
        """Begin a backup if one is due."""
        if not self._minds or self.run is not None:
            return
        if self.plan.due(self.newest, self._now()):
            self.back_up()
        else:
            self.changed.emit()

    def back_up(self, phrase: str = "", then: Callable[[], object] | None = None) -> None:
        """Make a backup now, unless one is being made."""
        file, folder = self.file, self.folder
        if self.run is not None or file is None or folder is None:
            return
        now, plan = self._now(), self.plan
        self._then = then

        def work(step: Callable[[int, int], None]) -> Backup:
            from formulary.records.backup import back_up, rotate

            made = back_up(file, folder, now, phrase or _passphrase(), step)
            rotate(folder, plan)
            return made

        self.begin(work, self._made)

    def begin(
        self,
        work: Callable[..., Any],
        then: Callable[[Any], None],
        ended: Callable[[], object] = lambda: None,
    ) -> None:
        """Begin long work with its progress, one at a time; ``ended`` follows a cancelled one."""
        run = Run(work, self)
        run.progressed.connect(self._progressed)
        run.done.connect(lambda result: self._end(lambda: _tell(then, result)))
        run.failed.connect(lambda error: self._end(lambda: self._failed(error)))
        run.cancelled.connect(lambda: self._end(lambda: self._cancelled(ended)))
        self.run, self.part, self.whole = run, 0, 0
        self.changed.emit()
        run.start()

    def before_closing(self, close: Callable[[], object]) -> bool:
        """Begin the backup at closing, if the house wants one; ``close`` is called after it."""
        if not (self.plan.at_closing and self._minds):
            return False
        self.back_up(then=close)
        return self.run is not None

    def _now(self) -> datetime:
        return local(self._context.desk.clock.now(), self._context.house.zone)

    def _progressed(self, part: int, whole: int) -> None:
        self.part, self.whole = part, whole
        self.changed.emit()

    def _end(self, then: Callable[[], None]) -> None:
        if self.run is not None:
            self.run.deleteLater()
        self.run = None
        then()
        self.changed.emit()

    def _made(self, backup: Backup) -> None:
        self._context.say.tell("ui_keeping.made", name=backup.name, n=backup.number)
        self._go_on()

    def _failed(self, error: FormularyError) -> None:
        self._context.say.refuse(error)
        # Whoever closes the window hears of it, and closes it again.
        self._then = None

    def _cancelled(self, ended: Callable[[], object]) -> None:
        self._context.say.tell("ui_keeping.cancelled")
        ended()
        self._go_on()

    def _go_on(self) -> None:
        then, self._then = self._then, None
        if then is not None:
            then()


def _tell(then: Callable[[T], None], result: T) -> None:
    """Tell whoever began the work what came of it, if they are still there."""
    if not is_gone(then):
        then(result)


def _passphrase() -> str:
    """Return what scheduled backups are locked with: what the computer's environment says."""
    import os

    return os.environ.get("MISCE_PASSPHRASE", "")
