"""Names go at the end of their time, signed; what was made stays, and the history verifies."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from formulary.bench.events import HandedOver, Recipient
from formulary.desk import Desk
from formulary.errors import Forbidden, NotFound, Refusal
from formulary.people import Identity, Part
from formulary.records.chain import verify_chain
from formulary.verbs.erase_people import erasable, erase_people
from formulary.verbs.work_at_bench import record
from tests.helpers.desks import ADA, CID, MORNING, PIN, Stopped, at
from tests.helpers.kept import NOW
from tests.helpers.stocked_bench import Job, a_job, a_stocked_house

NAME = "Quentin Zimtstern"


def keeping(desk: Desk, years: int) -> Desk:
    """Let a house keep names for so many years."""
    with at(desk, ADA).writing("save_house") as writing:
        writing.put(replace(desk.house, people_years=years))
    return at(desk, ADA)


def handed_over(desk: Desk) -> Job:
    """Make something for a patient, and hand each jar over."""
    job = a_job(a_stocked_house(desk)).started(patient=NAME).cleared().released()
    for jar in range(1, job.made.containers + 1):
        record(job.desk, job.lot, HandedOver(jar, Recipient.PATIENT, job.made.patient_id))
    return job


def years_later(desk: Desk, years: int) -> Desk:
    return replace(desk, clock=Stopped(MORNING + timedelta(days=round(365.25 * years))))


def names(desk: Desk) -> list[str]:
    return [each.name for each in desk.store.every(Identity)]


def test_a_name_goes_when_its_time_has_ended_and_not_before(desk: Desk) -> None:
    job = handed_over(desk)
    keeper = keeping(desk, 5)
    made = job.made
    with pytest.raises(NotFound):
        erase_people(years_later(keeper, 5), PIN)
    assert names(desk) == [NAME]
    assert erase_people(years_later(keeper, 6), PIN) == 1
    assert names(desk) == []
    assert desk.store.preparation(job.lot) == made
    assert made.patient_id
    assert verify_chain(desk.store) is None
    assert desk.store.history(limit=1000)[-1].verb == "erase_people"
    assert not any(NAME in each.details for each in desk.store.history(limit=1000))


def test_work_in_hand_holds_a_name_back(desk: Desk) -> None:
    a_job(a_stocked_house(desk)).started(patient=NAME).cleared()
    keeper = years_later(keeping(desk, 1), 20)
    assert erasable(keeper) == ()


def test_what_is_typed_for_an_order_that_isn_t_kept_yet_stays(desk: Desk) -> None:
    keeper = keeping(desk, 1)
    with desk.store.writing(replace(desk.act(), at=NOW), "keep_draft") as writing:
        writing.put(Identity("x-1", Part.UNKEPT, NAME))
        writing.put(Identity("x-2", Part.PATIENT, "Nobody's"))
    assert [each.id for each in erasable(keeper)] == ["x-2"], "no record points at it"


def test_a_house_that_never_said_how_long_erases_nothing(desk: Desk) -> None:
    handed_over(desk)
    with pytest.raises(Refusal) as caught:
        erase_people(years_later(at(desk, ADA), 50), PIN)
    assert caught.value.message.key == "people.no_retention"


def test_only_the_office_erases_and_signs(desk: Desk) -> None:
    handed_over(desk)
    keeper = years_later(keeping(desk, 1), 9)
    with pytest.raises(Forbidden):
        erase_people(at(keeper, CID), PIN)
    with pytest.raises(Forbidden):
        erase_people(keeper, "0000")
    assert names(desk) == [NAME]
