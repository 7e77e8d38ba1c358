"""Long work beside the store's own worker, with its progress, and a way to end it."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, Qt, Signal

from formulary.errors import FormularyError


class Cancelled(Exception):
    """Somebody ended the work; nothing of it is left."""


class Run(QObject):
    """One piece of work in a thread of its own.

    The work is given what tells how far it is, which raises :class:`Cancelled` once somebody wants
    an end. Exactly one of ``done``, ``failed`` and ``cancelled`` follows.
    """

    progressed = Signal(int, int)
    done = Signal(object)
    failed = Signal(object)
    cancelled = Signal()
    _ended = Signal(object, object)

    def __init__(self, work: Callable[[Callable[[int, int], None]], Any], parent: QObject) -> None:
        super().__init__(parent)
        self._work = work
        self._unwanted = threading.Event()
        self._ended.connect(self._tell, Qt.ConnectionType.QueuedConnection)
        self._thread = threading.Thread(target=self._perform, name="keeping", daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def cancel(self) -> None:
        """Ask for an end, which comes at the next step."""
        self._unwanted.set()

    def _perform(self) -> None:
        try:
            result = self._work(self._step)
        except Exception as error:  # noqa: BLE001 - handed over to the window's thread
            self._ended.emit(None, error)
        else:
            self._ended.emit(result, None)

    def _step(self, part: int, whole: int) -> None:
        if self._unwanted.is_set():
            raise Cancelled
        self.progressed.emit(part, whole)

    def _tell(self, result: object, error: BaseException | None) -> None:
        if error is None:
            self.done.emit(result)
        elif isinstance(error, Cancelled):
            self.cancelled.emit()
        elif isinstance(error, FormularyError):
            self.failed.emit(error)
        else:
            self.cancelled.emit()
            sys.excepthook(type(error), error, error.__traceback__)
