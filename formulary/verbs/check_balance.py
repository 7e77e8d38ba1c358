"""Check a balance with its test weights, before the day's first weighing and after its last."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from formulary.bench.balance_checks import (
    BalanceCheck,
    BalanceEntry,
    WeightRead,
    When,
    checked,
)
from formulary.bench.kept import KeptCheck
from formulary.desk import Desk
from formulary.house import Balance
from formulary.ids import new_id
from formulary.store import Reading


def check_balance(
    desk: Desk, balance: Balance, readings: Sequence[WeightRead], when: When = When.START
) -> BalanceCheck:
    """Keep a check, good or not; a failed one keeps everybody from weighing on it.

    Raises :class:`formulary.errors.Refusal` without a reading, or with a weight whose certificate
    has run out.
    """
    today = desk.today
    at, by = desk.act().at, desk.person.id
    check = checked(entry_of(balance), readings, at=at, on=today, person_id=by, when=when)
    with desk.writing("check_balance") as writing:
        writing.tell(balance=balance.name, good=int(check.good))
        writing.put(KeptCheck(new_id(), today.isoformat(), check))
    return check


def checks_on(store: Reading, day: date) -> tuple[BalanceCheck, ...]:
    """Return every check of a day."""
    return tuple(each.check for each in store.having(KeptCheck, day=day.isoformat()))


def entry_of(balance: Balance) -> BalanceEntry:
    """Return a balance as the register of balances knows it."""
    return BalanceEntry(
        balance.name,
        balance.serial,
        balance.readability,
        balance.allowed or balance.readability,
        balance.calibration_due,
        balance.weights,
    )
