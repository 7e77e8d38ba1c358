"""What couldn't be kept for want of a disk, a lock or a server is tried again until it is."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer

from formulary.errors import FormularyError, StoreTrouble
from formulary.messages import message
from ui.context import Context

AREA = "ui_forms"
AGAIN_MS = 3000


class TriedAgain(QObject):
    """Calls ``keep`` every few seconds after a failure; it is said once that it failed."""

    def __init__(self, context: Context, keep: Callable[[], None], parent: QObject) -> None:
        super().__init__(parent)
        self._context = context
        self._is_said = False
        self._timer = QTimer(self, singleShot=True, interval=AGAIN_MS)
        self._timer.timeout.connect(keep)

    def failed(self, trouble: FormularyError) -> None:
        """Try again later what the place has against it; anything else is only said."""
        if not isinstance(trouble, StoreTrouble):
            self._context.say.refuse(trouble)
            return
        self._timer.start()
        if not self._is_said:
            self._is_said = True
            self._context.say.refuse(message(f"{AREA}.tried_again", why=trouble.message))

    def succeeded(self) -> None:
        """Take the refusal away, if one was said."""
        if self._is_said:
            self._is_said = False
            self._context.say.tell(f"{AREA}.kept_after_all")

    def stop(self) -> None:
        """Try nothing more."""
        self._timer.stop()
        self._is_said = False
