"""A balance on a serial line, for the window: heard on a thread of its own, told by signals."""

from __future__ import annotations

from threading import Event, Thread

from PySide6.QtCore import QObject, Qt, Signal

from formulary.bench.balance_lines import ReadLine
from formulary.errors import FormularyError
from formulary.exchange.balance_port import Connected, Heard, Trouble, listening
from formulary.house import Balance

PATIENCE_SECONDS = 1.0


class BalanceLink(QObject):
    """Listens to one balance at a time; every signal comes on the window's thread.

    Of a balance that isn't listened to any more nothing is told, even if it is still on its way.
    """

    reading_arrived = Signal(object)
    """A :class:`ReadLine`, settled or not."""
    trouble = Signal(object)
    """A message: why nothing is read now."""
    connected = Signal(object)
    """A message: the port is open, for the first time or again."""
    _heard = Signal(object, object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._ended = Event()
        self._thread: Thread | None = None
        self._heard.connect(self._tell, Qt.ConnectionType.QueuedConnection)

    def listen(self, balance: Balance) -> None:
        """Listen to this balance in place of the one before."""
        before = self._thread
        self.stop()
        self._ended = ended = Event()
        self.destroyed.connect(ended.set)
        self._thread = Thread(
            target=self._run, args=(balance, ended, before), name="balance", daemon=True
        )
        self._thread.start()

    def stop(self) -> None:
        """Listen no longer; the port is closed within 0.1 s."""
        self._ended.set()

    def close(self) -> None:
        """Stop, and wait until the port is closed: before the window goes."""
        self.stop()
        if self._thread is not None:
            self._thread.join(PATIENCE_SECONDS)

    def _run(self, balance: Balance, ended: Event, before: Thread | None) -> None:
        """Hear on the thread; the one before lets go of its port first."""
        if before is not None:
            before.join()
        try:
            for heard in listening(balance, ended):
                self._hand_over(heard, ended)
        except FormularyError as refusal:
            self._hand_over(Trouble(refusal.message, lost=True), ended)

    def _hand_over(self, heard: Heard, ended: Event) -> None:
        if not ended.is_set():
            self._heard.emit(heard, ended)

    def _tell(self, heard: Heard, ended: Event) -> None:
        """Tell it on the window's thread, unless the balance was left in the meantime."""
        if ended.is_set():
            return
        if isinstance(heard, ReadLine):
            self.reading_arrived.emit(heard)
        elif isinstance(heard, Connected):
            self.connected.emit(heard.said)
        else:
            self.trouble.emit(heard.said)
