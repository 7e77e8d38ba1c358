"""What is kept of a preparation at the bench: what was fixed by its plan, and its events."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from formulary.bench.balance_checks import BalanceCheck
from formulary.bench.original import Original
from formulary.house import Balance, Measure
from formulary.people import Post
from formulary.quantity.amount import Amount
from formulary.scaling.plan import Plan
from formulary.signing import Signature


@dataclass(frozen=True, slots=True)
class BenchJob:
    """What was fixed when a preparation was planned; its id is the preparation's.

    ``balances`` and ``measures`` are the house's of that day. ``high_alert``, ``needs_check``
    and ``controlled`` are positions of lines; a ``trial`` is never released. ``tests`` are those of
    the dosage form that the formula itself doesn't name.
    """

    id: str
    plan: Plan
    containers: int
    workstation: str
    balances: tuple[Balance, ...] = ()
    measures: tuple[Measure, ...] = ()
    clearance: tuple[str, ...] = ()
    high_alert: tuple[int, ...] = ()
    needs_check: tuple[int, ...] = ()
    controlled: tuple[int, ...] = ()
    trial: bool = False
    tests: tuple[str, ...] = ()
    revision: int = 0


@dataclass(frozen=True, slots=True)
class BenchEvent:
    """One event of a preparation as it is kept; ``event`` is its canonical text.

    ``original`` is what the paper says, where it was done there first.
    """

    id: str
    preparation_id: str
    number: int
    at: datetime
    person_id: str
    person: str
    post: Post
    event: str
    signature: Signature | None = None
    original: Original | None = None
    revision: int = 0


class Place(StrEnum):
    """Where a filled jar is; one whose content went back to be filled anew is no jar any more."""

    SHELF = "shelf"
    PATIENT = "patient"
    WARD = "ward"
    STOCK = "stock"
    NOWHERE = "nowhere"


@dataclass(frozen=True, slots=True)
class FilledJar:
    """A jar as the events leave it, kept beside them so that it is found without following them.

    Its id is the preparation's lot, a slash and its number; ``recipient_id`` says who has it.
    """

    id: str
    preparation_id: str
    place: Place
    net: Amount
    recipient_id: str = ""
    given_at: datetime | None = None
    revision: int = 0

    @property
    def number(self) -> int:
        """Its number among the containers of its preparation."""
        return int(self.id.rpartition("/")[2])


@dataclass(frozen=True, slots=True)
class AloneAct:
    """An act done alone, kept beside its event so that it is found by whom it waits for.

    ``waits_for`` is the id of the person who is to look again, empty once that is done.
    """

    id: str
    lot: str
    event: int
    waits_for: str
    at: datetime
    revision: int = 0


@dataclass(frozen=True, slots=True)
class KeptCheck:
    """One check of a balance; ``day`` is the house's, in ISO 8601."""

    id: str
    day: str
    check: BalanceCheck
    revision: int = 0
