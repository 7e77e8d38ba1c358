"""The one place that speaks to the person: a quiet line for news, a bar for refusals.

Everything said is kept in order, so what was said before the window listened isn't lost.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from PySide6.QtCore import QObject, Signal

from formulary.errors import FormularyError
from formulary.messages import Message, Parameter, message


class Tone(StrEnum):
    """How something is said."""

    NEWS = "news"
    REFUSAL = "refusal"


@dataclass(frozen=True, slots=True)
class Said:
    """One thing that was said."""

    tone: Tone
    message: Message


class Messages(QObject):
    """Says sentences; the window shows them and tests read them in :attr:`history`."""

    spoken = Signal(object)
    quiet = Signal()
    outdated = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.history: list[Said] = []

    def tell(self, key: str, **parameters: Parameter) -> None:
        """Say what happened, in the quiet line."""
        self._say(Said(Tone.NEWS, message(key, **parameters)))

    def refuse(self, refusal: FormularyError | Message) -> None:
        """Say what can't be done and why, in the bar, until the next act."""
        said = refusal.message if isinstance(refusal, FormularyError) else refusal
        self._say(Said(Tone.REFUSAL, said))

    def hush(self) -> None:
        """Take a refusal away: the person went on."""
        self.quiet.emit()

    def forget_news(self) -> None:
        """Take the news away: what it told of is over."""
        self.outdated.emit()

    def _say(self, said: Said) -> None:
        self.history.append(said)
        self.spoken.emit(said)
