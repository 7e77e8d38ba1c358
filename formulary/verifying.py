"""What a check of the records found: where the history or a record isn't what was kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from formulary.messages import Message, message


class Flaw(StrEnum):
    """What can be wrong with what is kept."""

    EDITED = "edited"
    OUT_OF_CHAIN = "out of chain"
    LEFT_OUT = "left out"
    CUT_OFF = "cut off"
    SHORTER = "shorter"
    REWRITTEN = "rewritten"
    RESTORED = "restored"
    RECORD_CHANGED = "record changed"
    RECORD_ADDED = "record added"
    RECORD_GONE = "record gone"
    RECORD_UNREADABLE = "record unreadable"
    COLUMN = "column"
    DERIVED = "derived"
    COUNTER = "counter"
    DATABASE = "database"
    GUARD_GONE = "guard gone"
    TABLE_GONE = "table gone"
    END_GONE = "end gone"


MENDABLE = frozenset({Flaw.COLUMN, Flaw.DERIVED, Flaw.GUARD_GONE})
"""What is worked out from records, or guards them, and can be made anew: nobody wrote it."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """One thing that isn't as it was kept: at an entry of the history, or at a record.

    ``what`` names the record by kind and id, or the anchor, or tells what the database said;
    ``called`` is the record's code, number or name where it has one that can be read.
    """

    flaw: Flaw
    entry: int = 0
    what: str = ""
    called: str = field(default="", compare=False)

    @property
    def said(self) -> Message:
        """The doubt as a sentence."""
        key = self.flaw.value.replace(" ", "_")
        what = f"{self.called}, {self.what}" if self.called else self.what
        return message(f"verifying.{key}", n=self.entry, what=what)


@dataclass(frozen=True, slots=True)
class Anchor:
    """An entry's number and the beginning of its hash, kept where nobody can rewrite it.

    They stand on printed papers and in the names of backups; ``source`` says where this one did.
    """

    number: int
    hash: str
    source: str = ""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a check found, and where the chain ended: ``entries`` and the last one's hash.

    ``names_closed`` says that the key of the names isn't here, so that those weren't compared;
    ``replaced`` what fits a formulary that a restored backup took the place of. ``more`` is how
    many doubts there are beside those that are told.
    """

    entries: int
    records: int
    head: str
    doubts: Sequence[Doubt] = ()
    names_closed: bool = False
    replaced: Sequence[Message] = ()
    more: int = 0

    @property
    def notes(self) -> tuple[Message, ...]:
        """What else is to be said of the check, as sentences."""
        closed = (message("verifying.names_closed"),) if self.names_closed else ()
        return (*closed, *self.replaced)

    @property
    def good(self) -> bool:
        """Whether everything is as it was kept."""
        return not self.doubts

    @property
    def sound(self) -> bool:
        """Whether history and records are as they were kept, so that the rest can be mended."""
        return all(each.flaw in MENDABLE for each in self.doubts)

    def told(self, most: int = 0) -> tuple[Message, ...]:
        """Return the doubts as sentences, the first of many, and how many more there are.

        Where not everything can be mended, what could be isn't told: it is no way on.
        """
        doubts = [each for each in self.doubts if self.sound or each.flaw not in MENDABLE]
        shown = doubts[:most] if most else doubts
        left = len(doubts) - len(shown) + self.more
        more = (message("verifying.more", n=left),) if left else ()
        return (*(each.said for each in shown), *more)
