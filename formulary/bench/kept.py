"""What is kept of a preparation at the bench: what was fixed by its plan, and its events."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from formulary.bench.balance_checks import BalanceCheck
from formulary.house import Balance, Measure
from formulary.people import Post
from formulary.scaling.plan import Plan
from formulary.signing import Signature


@dataclass(frozen=True, slots=True)
class BenchJob:
    """What was fixed when a preparation was planned; its id is the preparation's.

    ``balances`` and ``measures`` are the house's of that day. ``high_alert`` and ``needs_check``
    are positions of lines; a ``trial`` is never released.
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
    trial: bool = False
    revision: int = 0


@dataclass(frozen=True, slots=True)
class BenchEvent:
    """One event of a preparation as it is kept; ``event`` is its canonical text."""

    id: str
    preparation_id: str
    number: int
    at: datetime
    person_id: str
    person: str
    post: Post
    event: str
    signature: Signature | None = None
    revision: int = 0


@dataclass(frozen=True, slots=True)
class KeptCheck:
    """One check of a balance; ``day`` is the house's, in ISO 8601."""

    id: str
    day: str
    check: BalanceCheck
    revision: int = 0
