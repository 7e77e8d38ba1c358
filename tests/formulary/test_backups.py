"""Which backups are kept, and when one is due."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from formulary.backups import SHOWN, Backup, BackupPlan, named

NOW = datetime(2026, 3, 31, 12, tzinfo=UTC)
ROTATION = BackupPlan(newest=3, days=7, weeks=4, months=6)


def backup(at: datetime, number: int = 1) -> Backup:
    return Backup(at, number, "0123456789abcdef" * 4)


@given(
    seconds=st.integers(0, 4_000_000_000),
    number=st.integers(0, 10**9),
    hashed=st.text("0123456789abcdef", min_size=64, max_size=64),
    locked=st.booleans(),
)
def test_a_name_says_when_and_where_the_history_ended(
    seconds: int, number: int, hashed: str, *, locked: bool
) -> None:
    at = datetime.fromtimestamp(seconds, UTC)
    read = named(Backup(at, number, hashed, locked).name)
    assert read == Backup(at, number, hashed[:SHOWN], locked)


def test_other_files_are_no_backups() -> None:
    assert named("notes.txt") is None
    assert named("misce-20261399T999999Z-1-0123456789abcdef.backup") is None


@given(st.sets(st.integers(0, 24 * 500), max_size=60))
def test_what_is_dropped_was_neither_newest_nor_the_last_of_a_recent_day(hours: set[int]) -> None:
    backups = [backup(NOW - timedelta(hours=each)) for each in hours]
    in_order = sorted(backups, key=lambda each: each.at, reverse=True)
    dropped = {*ROTATION.dropped(backups)}
    assert not dropped & {*in_order[: ROTATION.newest]}
    days = list(dict.fromkeys(each.at.date() for each in in_order))[: ROTATION.days]
    for day in days:
        assert next(each for each in in_order if each.at.date() == day) not in dropped
    most = ROTATION.newest + ROTATION.days + ROTATION.weeks + ROTATION.months
    assert len({*backups} - dropped) <= most


@given(st.sets(st.integers(0, 24 * 500), max_size=60))
def test_dropping_twice_drops_nothing_more(hours: set[int]) -> None:
    backups = {backup(NOW - timedelta(hours=each)) for each in hours}
    kept = backups - {*ROTATION.dropped(backups)}
    assert not ROTATION.dropped(kept)


def test_half_a_year_of_daily_backups_leaves_days_weeks_and_months() -> None:
    backups = [backup(NOW - timedelta(days=each)) for each in range(182)]
    kept = [each for each in backups if each not in ROTATION.dropped(backups)]
    months = {(each.at.year, each.at.month) for each in kept}
    # From October to March: six months, the newest seven days, and the Sundays of four weeks.
    assert len(months) == 6
    assert [each.at for each in kept[:7]] == [NOW - timedelta(days=each) for each in range(7)]


def test_one_is_due_after_the_hours_and_missed_after_the_days() -> None:
    rotation = BackupPlan(every_hours=4, remind_days=3)
    assert rotation.due(None, NOW)
    assert not rotation.due(NOW - timedelta(hours=3, minutes=59), NOW)
    assert rotation.due(NOW - timedelta(hours=4), NOW)
    assert not rotation.overdue(NOW - timedelta(days=2), NOW)
    assert rotation.overdue(NOW - timedelta(days=3), NOW)
    assert rotation.overdue(None, NOW)
