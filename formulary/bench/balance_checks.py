"""The balance register: daily checks with test weights, calibration, and drift found at the end."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.messages import Message, message
from formulary.quantity.amount import Amount


class When(StrEnum):
    """When a check is done: before the day's first weighing, or after its last."""

    START = "start of work"
    END = "end of work"


@dataclass(frozen=True, slots=True)
class CheckWeight:
    """A certified weight by its own number; ``due`` is the last day of its certificate."""

    number: str
    nominal: Amount
    due: date | None = None


@dataclass(frozen=True, slots=True)
class BalanceEntry:
    """A balance in the register; ``calibration_due`` is the last day of its calibration.

    ``allowed`` is how far a test weight may read off, as the house sets it from the balance's class
    and its readability. A balance without ``calibration_due`` isn't calibrated.
    """

    name: str
    serial: str
    readability: Amount
    allowed: Amount
    calibration_due: date | None = None
    weights: tuple[CheckWeight, ...] = ()


@dataclass(frozen=True, slots=True)
class WeightRead:
    """What a balance showed for a test weight."""

    weight: CheckWeight
    shown: Amount

    @property
    def off(self) -> Amount:
        """Return how far the balance was off: above zero where it showed too much."""
        return self.shown - self.weight.nominal


@dataclass(frozen=True, slots=True)
class BalanceCheck:
    """One check of a balance: zero and test weights, by whom and when (aware).

    ``entered_by`` is who entered it later from paper, empty where it wasn't on paper.
    """

    balance: str
    at: datetime
    on: date
    person_id: str
    when: When
    readings: tuple[WeightRead, ...]
    allowed: Amount
    entered_by: str = ""

    @property
    def good(self) -> bool:
        """Whether every test weight read within what is allowed; none at all proves nothing."""
        return bool(self.readings) and all(
            abs(each.off.to(self.allowed.unit).number) <= self.allowed.number
            for each in self.readings
        )


def checked(
    entry: BalanceEntry,
    readings: Sequence[WeightRead],
    *,
    at: datetime,
    on: date,
    person_id: str,
    when: When = When.START,
) -> BalanceCheck:
    """Return a check for the record, good or not.

    ``on`` is the day of ``at`` in the house's zone. Raises :class:`formulary.errors.Refusal`
    without a reading, or with a weight whose certificate has run out.
    """
    if not readings:
        raise Refusal(message("bench.balance.no_weights", balance=entry.name))
    for each in readings:
        if each.weight.due is not None and each.weight.due < on:
            raise Refusal(
                message(
                    "bench.balance.weight_overdue", number=each.weight.number, on=each.weight.due
                )
            )
    return BalanceCheck(entry.name, at, on, person_id, when, tuple(readings), entry.allowed)


def why_not(entry: BalanceEntry, checks: Iterable[BalanceCheck], today: date) -> Message | None:
    """Return why nothing is weighed on a balance today, None if it is fit for use.

    It must be calibrated, and today's last check must be good.
    """
    if entry.calibration_due is None:
        return message("bench.balance.not_calibrated", balance=entry.name)
    if entry.calibration_due < today:
        due = entry.calibration_due
        return message("bench.balance.calibration_overdue", balance=entry.name, on=due)
    of_today = [each for each in checks if each.balance == entry.name and each.on == today]
    if not of_today:
        return message("bench.balance.unchecked", balance=entry.name, on=today)
    last = max(of_today, key=lambda each: each.at)
    return None if last.good else check_said(last)


def require_fit(entry: BalanceEntry, checks: Iterable[BalanceCheck], today: date) -> None:
    """Refuse a balance that is unchecked today, failed its check, or is out of calibration."""
    why = why_not(entry, checks, today)
    if why is not None:
        raise Refusal(why)


def check_said(check: BalanceCheck) -> Message:
    """Return a check's verdict with what each weight read."""
    read = tuple(
        message("bench.balance.read", shown=each.shown, weight=each.weight.nominal)
        for each in check.readings
    )
    return message(
        f"bench.balance.{'good' if check.good else 'failed'}",
        balance=check.balance,
        read=read,
        allowed=check.allowed,
    )


@dataclass(frozen=True, slots=True)
class WeighedAt:
    """A weighing on some balance, as far as drift concerns it; ``what`` names it for a person."""

    balance: str
    at: datetime
    what: str


def in_doubt(
    balance: str, checks: Iterable[BalanceCheck], weighings: Iterable[WeighedAt]
) -> tuple[WeighedAt, ...]:
    """Return the weighings that a failed check throws into doubt: all since the last good one.

    A weighing is covered when the first check after it is good, so those between a failed check and
    the good one before it stay in doubt even after the balance was put right.
    """
    ordered = sorted((each for each in checks if each.balance == balance), key=lambda each: each.at)
    found = []
    for each in weighings:
        following = next((check for check in ordered if check.at > each.at), None)
        if each.balance == balance and following is not None and not following.good:
            found.append(each)
    return tuple(found)


def drift_findings(
    balance: str, checks: Iterable[BalanceCheck], weighings: Iterable[WeighedAt]
) -> tuple[Finding, ...]:
    """Return a finding per weighing in doubt: the batch is held until a pharmacist decides."""
    return tuple(
        Finding(
            Severity.STOP,
            message("bench.balance.drifted", balance=balance, what=each.what, at=each.at),
            each.what,
        )
        for each in in_doubt(balance, checks, weighings)
    )
