"""Check a balance with its test weights, before the day's first weighing and after its last."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from formulary.bench.balance_checks import (
    BalanceCheck,
    BalanceEntry,
    WeightRead,
    When,
    checked,
)
from formulary.bench.kept import KeptCheck
from formulary.bench.original import Original
from formulary.clock import legal_date
from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.house import Balance
from formulary.ids import new_id
from formulary.messages import message
from formulary.store import Reading


def check_balance(
    desk: Desk,
    balance: Balance,
    readings: Sequence[WeightRead],
    when: When = When.START,
    *,
    original: Original | None = None,
) -> BalanceCheck:
    """Keep a check, good or not; a failed one keeps everybody from weighing on it.

    With an ``original`` it is entered from paper, for the day that stands there. Raises
    :class:`formulary.errors.Refusal` without a reading, with a weight whose certificate has run
    out, or for a time still to come.
    """
    now = desk.act().at
    at, by = (now, desk.person.id) if original is None else (original.at, original.person_id)
    if at > now:
        raise Refusal(message("bench.paper.to_come", at=at))
    day = legal_date(at, desk.house.zone)
    check = checked(entry_of(balance), readings, at=at, on=day, person_id=by, when=when)
    if original is not None:
        check = replace(check, entered_by=desk.person.id)
    with desk.writing("check_balance") as writing:
        writing.tell(balance=balance.name, good=int(check.good))
        writing.put(KeptCheck(new_id(), day.isoformat(), check))
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
