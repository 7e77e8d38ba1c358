"""Blanks on paper: their lots are given beforehand, and what was written is entered later."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from formulary.bench.events import Reserved, Transcribed
from formulary.bench.stages import Stage
from formulary.bench.words import said
from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import Forbidden, Refusal
from formulary.people import Person, Post
from formulary.store import Store
from formulary.verbs.reserve_blanks import enter_blank, reserve_blanks
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.work_at_bench import at_bench, happened, record
from tests.helpers.bench_work import cleared, packed
from tests.helpers.desks import CID, MORNING, a_desk, at, furnished, in_use
from tests.helpers.kept import a_content, dry

ORDER = Order("2 x 50 g")


@pytest.fixture
def desk(store: Store) -> Desk:
    """Return a technician's desk."""
    return at(a_desk(furnished(store)), CID)


def later(desk: Desk, days: int) -> Desk:
    """Return a desk at the same store some days on."""
    return a_desk(desk.store, CID, MORNING + timedelta(days=days))


def test_each_blank_has_a_lot_of_its_own_that_nobody_gets_again(desk: Desk) -> None:
    version = in_use(desk)
    blanks = reserve_blanks(desk, version.id, ORDER, 3, "Power cuts announced")
    after = start_preparation(desk, version.id, ORDER)
    assert len({*(each.lot for each in blanks), after.lot}) == 4


def test_a_blank_stands_in_the_register_as_requested_with_the_reason(desk: Desk) -> None:
    (blank,) = reserve_blanks(desk, in_use(desk).id, ORDER, 1, "Power cuts announced")
    (listed,) = desk.store.register(blank.lot)
    assert listed.stage is Stage.REQUESTED
    found = at_bench(desk.store, blank.lot)
    assert found.state.reserved == "Power cuts announced"
    (first,) = happened(found.events)
    assert "Power cuts announced" in Catalogue().text(said(first, found.state))
    assert desk.store.history(0, 100)[-1].act.reason == "Power cuts announced"


def test_an_entered_blank_is_a_marked_transcription_made_the_day_the_paper_says(
    desk: Desk,
) -> None:
    version = in_use(desk, dry(a_content()))
    (blank,) = reserve_blanks(desk, version.id, ORDER, 1, "Power cuts announced")
    now = later(desk, 3)
    entered = enter_blank(now, blank.lot, date(2026, 3, 12), "Read from the sheet")
    assert entered.state.stage is Stage.PLANNED
    assert entered.state.transcribed == (blank.lot,)
    assert entered.preparation.made_on == date(2026, 3, 12)
    assert entered.preparation.use_by == date(2026, 9, 7)
    kinds = [type(each.event) for each in happened(entered.events)]
    assert Transcribed in kinds


def test_what_the_paper_says_is_then_recorded_like_any_other_work(desk: Desk) -> None:
    (blank,) = reserve_blanks(desk, in_use(desk).id, ORDER, 1, "Power cuts announced")
    now = later(desk, 1)
    entered = enter_blank(now, blank.lot, date(2026, 3, 10))
    done = packed(now, entered.preparation, on_paper=MORNING + timedelta(hours=2))
    assert done.stage is Stage.PACKED
    state = at_bench(desk.store, blank.lot).state
    assert state.transcribed == (blank.lot,)
    assert state.from_paper > len(state.lines)


def test_a_paper_is_entered_while_the_desks_own_bench_is_taken_and_takes_it_from_nobody(
    desk: Desk,
) -> None:
    version = in_use(desk)
    (blank,) = reserve_blanks(desk, version.id, ORDER, 1, "Power cuts announced")
    open_lot = start_preparation(desk, version.id, ORDER).lot
    cleared(desk, open_lot)
    now = later(desk, 1)
    entered = enter_blank(now, blank.lot, date(2026, 3, 10))
    done = packed(now, entered.preparation, on_paper=MORNING + timedelta(hours=2))
    assert done.stage is Stage.PACKED
    assert at_bench(desk.store, open_lot).state.stage is Stage.BENCH_CLEARED


def test_work_begins_at_a_bench_while_a_paper_is_half_entered_there(desk: Desk) -> None:
    version = in_use(desk)
    (blank,) = reserve_blanks(desk, version.id, ORDER, 1, "Power cuts announced")
    now = later(desk, 1)
    enter_blank(now, blank.lot, date(2026, 3, 10))
    cleared(now, blank.lot, on_paper=MORNING + timedelta(hours=2))
    lot = start_preparation(now, version.id, ORDER).lot
    cleared(now, lot)
    assert at_bench(desk.store, lot).state.stage is Stage.BENCH_CLEARED


def test_a_blank_is_entered_once(desk: Desk) -> None:
    (blank,) = reserve_blanks(desk, in_use(desk).id, ORDER, 1, "Power cuts announced")
    enter_blank(desk, blank.lot, desk.today)
    with pytest.raises(Refusal, match="no_open_blank"):
        enter_blank(desk, blank.lot, desk.today)


def test_an_ordinary_preparation_is_no_blank(desk: Desk) -> None:
    made = start_preparation(desk, in_use(desk).id, ORDER)
    with pytest.raises(Refusal, match="no_open_blank"):
        enter_blank(desk, made.lot, desk.today)


@pytest.mark.parametrize("made_on", [date(2026, 3, 9), date(2026, 3, 14)])
def test_a_blank_was_made_neither_before_its_lot_was_given_nor_in_days_to_come(
    desk: Desk, made_on: date
) -> None:
    (blank,) = reserve_blanks(desk, in_use(desk).id, ORDER, 1, "Power cuts announced")
    with pytest.raises(Refusal, match="blank_day"):
        enter_blank(later(desk, 3), blank.lot, made_on)
    assert at_bench(desk.store, blank.lot).preparation == blank


def test_once_it_is_planned_its_day_stays(desk: Desk) -> None:
    made = start_preparation(desk, in_use(desk).id, ORDER)
    moved = replace(made, made_on=date(2026, 3, 9))
    with pytest.raises(Forbidden), desk.writing("start_preparation") as writing:
        writing.put(moved)


@pytest.mark.parametrize(
    ("order", "count", "reason", "key"),
    [
        (ORDER, 0, "Power cuts", "blanks_at_once"),
        (ORDER, 51, "Power cuts", "blanks_at_once"),
        (ORDER, 1, "  ", "blank_reason_needed"),
        (Order("2 x 50 g", patient="Pat Doe"), 1, "Power cuts", "blank_for_nobody"),
    ],
)
def test_blanks_without_sense_are_refused_and_no_lot_is_lost(
    desk: Desk, order: Order, count: int, reason: str, key: str
) -> None:
    version = in_use(desk)
    with pytest.raises(Refusal, match=key):
        reserve_blanks(desk, version.id, order, count, reason)
    assert desk.store.register() == []


def test_a_reader_reserves_nothing(desk: Desk) -> None:
    version = in_use(desk)
    reader = at(desk, Person("p-rae", "Rae", Post.READER))
    with pytest.raises(Forbidden):
        reserve_blanks(reader, version.id, ORDER, 1, "Power cuts")


def test_a_blank_is_reserved_before_anything_else_or_not_at_all(desk: Desk) -> None:
    made = start_preparation(desk, in_use(desk).id, ORDER)
    with pytest.raises(Refusal, match="not_at_this_stage"):
        record(desk, made.lot, Reserved("Too late"))


def test_a_paper_says_minutes_so_the_minute_in_which_the_lot_was_given_counts(desk: Desk) -> None:
    given = a_desk(desk.store, CID, MORNING + timedelta(seconds=40))
    (blank,) = reserve_blanks(given, in_use(desk).id, ORDER, 1, "Power cuts announced")
    now = later(desk, 1)
    entered = enter_blank(now, blank.lot, date(2026, 3, 10))
    done = packed(now, entered.preparation, on_paper=MORNING)
    assert done.stage is Stage.PACKED
