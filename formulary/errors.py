"""What can go wrong, as a sentence for the person who can mend it and an exit code."""

from __future__ import annotations

from formulary.messages import Message, Parameter, message


class FormularyError(Exception):
    """Anything a person is told in a sentence; ``exit_code`` is the command line's answer."""

    exit_code = 1

    def __init__(self, said: Message) -> None:
        super().__init__(said.key, dict(said.parameters))
        self.message = said

    @classmethod
    def of(cls, key: str, **parameters: Parameter) -> FormularyError:
        """Return the error that says ``key``."""
        return cls(message(key, **parameters))


class Refusal(FormularyError):
    """The trade or the arithmetic says no; nothing was changed."""


class UnitMismatch(Refusal):
    """Two quantities that can't be compared or converted met (mass and volume, say)."""


class BadText(Refusal):
    """A typed text or a file can't be read; ``line`` and ``field`` say where, if known."""

    def __init__(self, said: Message, *, line: int | None = None, field: str | None = None) -> None:
        super().__init__(said)
        self.line = line
        self.field = field


class NotFound(Refusal):
    """What was asked for isn't in this formulary."""


class Conflict(Refusal):
    """Somebody else changed the same record since it was read."""


class Forbidden(Refusal):
    """A rule of the house or the trade keeps this person from this act now."""


class NotSignedIn(Forbidden):
    """Nobody is signed in at this desk, so nothing can be done in anybody's name."""


class StoreTrouble(FormularyError):
    """The place where the formulary is kept can't be read or written."""


class WrongUsage(FormularyError):
    """The command line was called in a way it doesn't know."""

    exit_code = 2
