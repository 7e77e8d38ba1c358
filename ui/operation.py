"""A verb in the background: one worker thread for everything that touches the store.

So work on the store is never concurrent with itself. Results and failures come back on the
window's thread. Work gets plain data and a desk, never a widget.
"""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable
from dataclasses import dataclass
from queue import SimpleQueue
from typing import Any

from PySide6.QtCore import QObject, Qt, QTimer, Signal

from formulary.errors import FormularyError
from ui.messages import Messages
from ui.receivers import is_gone

SHOW_AFTER_MS = 1000


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of an operation, and whom it is told."""

    result: Any
    error: BaseException | None
    then: Callable[[Any], None] | None
    failed: Callable[[FormularyError], None] | None


class Operation:
    """One piece of work: ``run`` on the worker, then ``then`` or ``failed`` on the window's thread.

    ``lane`` names a kind of question of which only the newest answer matters.
    """

    def __init__(
        self,
        run: Callable[[], Any],
        then: Callable[[Any], None] | None,
        failed: Callable[[FormularyError], None] | None,
        lane: str,
    ) -> None:
        self.run, self.then, self.failed, self.lane = run, then, failed, lane
        self.cancelled = False
        self.result: Any = None
        self.error: BaseException | None = None

    def perform(self) -> None:
        """Do the work here, on the worker; what goes wrong is carried back, whatever it is."""
        try:
            self.result = self.run()
        except Exception as error:  # noqa: BLE001 - handed over to the window's thread
            self.error = error

    def let_go(self) -> Outcome:
        """Return what came of it and hold on to nothing.

        The worker keeps its last operation until the next one. Were a page's last reference in
        there, the page would be destroyed on the worker's thread, which Qt doesn't survive.
        """
        outcome = Outcome(self.result, self.error, self.then, self.failed)
        self.run, self.then, self.failed = _nothing, None, None
        self.result = self.error = None
        return outcome


class Operations(QObject):
    """Runs operations one after the other and brings their outcome back.

    ``begun`` counts them, so that whoever calls something can tell whether that began one.
    """

    busy_changed = Signal(bool)
    slow = Signal()
    _performed = Signal(object)

    def __init__(self, say: Messages, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._say = say
        self.begun = 0
        self._waiting: list[Operation] = []
        self._ended = False
        self._queue: SimpleQueue[Operation | None] = SimpleQueue()
        self._thread = threading.Thread(target=self._work, name="store", daemon=True)
        self._performed.connect(self._arrived, Qt.ConnectionType.QueuedConnection)
        self._patience = QTimer(self, singleShot=True, interval=SHOW_AFTER_MS)
        self._patience.timeout.connect(self.slow)
        self._thread.start()

    @property
    def busy(self) -> bool:
        """Whether anything is waiting or running."""
        return bool(self._waiting)

    def start(
        self,
        run: Callable[[], Any],
        then: Callable[[Any], None] | None = None,
        *,
        failed: Callable[[FormularyError], None] | None = None,
        lane: str = "",
    ) -> Operation:
        """Run work in the background; an older question of the same lane is dropped.

        Without ``failed`` a refusal is said by the messages.
        """
        for older in self._waiting:
            older.cancelled = older.cancelled or bool(lane and older.lane == lane)
        operation = Operation(run, then, failed, lane)
        self._waiting.append(operation)
        self.begun += 1
        if len(self._waiting) == 1:
            self._patience.start()
            self.busy_changed.emit(True)
        self._queue.put(operation)
        return operation

    def cancel_questions(self) -> None:
        """Drop every question whose answer is still awaited; acts run on to their end."""
        for each in self._waiting:
            each.cancelled = each.cancelled or bool(each.lane)

    def finish(self, seconds: float = 10.0) -> None:
        """Let what was begun come to its end, then end the worker."""
        self._ended = True
        self._queue.put(None)
        self._thread.join(seconds)

    def _work(self) -> None:
        while (operation := self._queue.get()) is not None:
            if not operation.cancelled:
                operation.perform()
            self._performed.emit(operation)

    def _arrived(self, operation: Operation) -> None:
        self._waiting.remove(operation)
        outcome = operation.let_go()
        if not self._waiting:
            self._patience.stop()
            self.busy_changed.emit(False)
        # After the end there may be no window left to tell.
        if not (operation.cancelled or self._ended):
            self._deliver(outcome)

    def _deliver(self, outcome: Outcome) -> None:
        """Tell the receiver, if it is still there; what failed is said in any case."""
        error = outcome.error
        if error is None:
            if outcome.then is not None and not is_gone(outcome.then):
                outcome.then(outcome.result)
        elif isinstance(error, FormularyError):
            failed = outcome.failed or self._say.refuse
            (self._say.refuse if is_gone(failed) else failed)(error)
        else:
            sys.excepthook(type(error), error, error.__traceback__)


def _nothing() -> None:
    """Be what an operation runs that has been let go."""
