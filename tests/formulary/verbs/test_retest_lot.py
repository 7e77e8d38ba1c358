"""A solid tested again is dated anew by a pharmacist; its maker's date stays beside it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from formulary.desk import Desk
from formulary.errors import BadText, Forbidden, Refusal
from formulary.ingredient import Ingredient, Matter
from formulary.stock.expiry import Expiry
from formulary.stock.lot import SupplyLot
from formulary.verbs.halt_lot import freeze_lot
from formulary.verbs.retest_lot import retest_lot
from tests.helpers.desks import ADA, CID, MORNING, PIN, at
from tests.helpers.stocked_bench import OIL, UREA, Job, a_job, a_stocked_house, lot_of

LATER = date(2029, 6, 30)
FOUND = "Assay 99.4 %, certificate 2026-17"


@pytest.fixture
def job(desk: Desk) -> Job:
    job = a_job(a_stocked_house(desk))
    with at(desk, ADA).writing("save_ingredient") as writing:
        for name, matter in (("i-urea", Matter.POWDER), ("i-oil", Matter.LIQUID)):
            known = writing.get(Ingredient, name)
            assert known is not None
            writing.put(replace(known, matter=matter))
    return job


def urea(job: Job) -> SupplyLot:
    return lot_of(job.desk, job.containers[UREA])


def test_it_lasts_to_the_new_day_and_keeps_the_date_it_had(job: Job) -> None:
    before = urea(job)
    again = retest_lot(at(job.desk, ADA), before.id, PIN, LATER, FOUND)
    assert again.expiry == Expiry(LATER, assigned_by=ADA.name)
    (kept,) = again.retests
    assert (kept.before, kept.result, kept.by.person) == (before.expiry, FOUND, ADA.name)
    assert urea(job) == again
    assert job.desk.store.history(0, 1000)[-1].verb == "retest_lot"


def test_a_second_retest_stands_beside_the_first(job: Job) -> None:
    retest_lot(at(job.desk, ADA), urea(job).id, PIN, LATER, FOUND)
    again = retest_lot(at(job.desk, ADA), urea(job).id, PIN, LATER + timedelta(days=90), FOUND)
    assert [each.before.last_day for each in again.retests][1:] == [LATER]


def test_only_a_pharmacist_decides_it(job: Job) -> None:
    with pytest.raises(Forbidden):
        retest_lot(at(job.desk, CID), urea(job).id, PIN, LATER, FOUND)


def test_only_a_sound_solid_is_dated_anew(job: Job) -> None:
    oil = lot_of(job.desk, job.containers[OIL])
    with pytest.raises(Refusal) as refused:
        retest_lot(at(job.desk, ADA), oil.id, PIN, LATER, FOUND)
    assert refused.value.message.key == "stock.retest.solids"
    freeze_lot(job.desk, urea(job).id, PIN, "damp")
    with pytest.raises(Refusal) as refused:
        retest_lot(at(job.desk, ADA), urea(job).id, PIN, LATER, FOUND)
    assert refused.value.message.key == "stock.retest.not_accepted"


def test_it_says_what_was_found_and_gives_a_later_day(job: Job) -> None:
    for until, found, key in (
        (LATER, " ", "stock.retest.no_result"),
        (MORNING.date(), FOUND, "stock.retest.no_later"),
        (urea(job).expiry.last_day, FOUND, "stock.retest.no_later"),
    ):
        with pytest.raises(BadText) as refused:
            retest_lot(at(job.desk, ADA), urea(job).id, PIN, until, found)
        assert refused.value.message.key == key


def test_no_other_change_of_the_date_is_kept(job: Job) -> None:
    lot = urea(job)
    with (
        pytest.raises(Forbidden),
        at(job.desk, ADA).writing("retest_lot") as writing,
    ):
        writing.put(replace(lot, expiry=Expiry(LATER)))
