"""Each jar goes to one patient or ward, after release; a trace and a recall follow it there."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from formulary.bench.events import Held, HoldLifted, Recipient
from formulary.bench.kept import FilledJar, Place
from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.errors import Forbidden, Refusal
from formulary.people import Identity
from formulary.signing import Meaning
from formulary.stock.recall import Recall
from formulary.tracing import Sort
from formulary.verbs.hand_over_jar import hand_over_jars
from formulary.verbs.issue_labels import issue_labels
from formulary.verbs.recall_lot import recall_lot
from formulary.verbs.trace_lot import trace_lot
from formulary.verbs.work_at_bench import record
from tests.helpers.desks import ADA, CID, PIN, Stopped, at
from tests.helpers.stocked_bench import OIL, Job, a_job, a_stocked_house, lot_of


@pytest.fixture
def job(desk: Desk) -> Job:
    """Make and release four jars for nobody in particular."""
    return a_job(a_stocked_house(desk)).started("4 x 50 g").cleared().released()


def for_eve(desk: Desk) -> Job:
    """Make and release two jars for a patient."""
    job = a_job(a_stocked_house(desk)).started("2 x 50 g", patient="Eve Falk")
    return job.cleared().released()


def refused(job: Job, *jars: int, patient: str = "", ward: str = "") -> str:
    """Return what refuses a hand-over, after which every jar is where it was."""
    before = job.work.state
    with pytest.raises(Refusal) as caught:
        hand_over_jars(job.desk, job.lot, jars, patient=patient, ward=ward)
    assert job.work.state == before
    return caught.value.message.key


def test_jars_go_to_a_ward_by_its_name(job: Job) -> None:
    after = hand_over_jars(job.desk, job.lot, (1, 2), ward=" Ward 3 ")
    gone = after.state.jars[0]
    assert (gone.recipient, gone.recipient_id) == (Recipient.WARD, "Ward 3")
    assert gone.handed_at == job.desk.act().at
    assert after.state.jars[2].recipient is None
    assert after.preparation.stage is Stage.RELEASED


def test_a_recall_reaches_a_patient_at_the_telephone_that_was_given(job: Job) -> None:
    hand_over_jars(job.desk, job.lot, (1,), patient="Eve Falk", telephone=" 0555 1234 ")
    (kept,) = job.desk.store.every(Identity)
    assert kept.details is not None
    assert kept.details.telephone == "0555 1234"
    with pytest.raises(Refusal, match="hand_over_telephone_of_ward"):
        hand_over_jars(job.desk, job.lot, (2,), ward="Ward 3", telephone="0555 1234")


def test_a_patients_name_stays_out_of_the_record(job: Job) -> None:
    after = hand_over_jars(job.desk, job.lot, (1, 2), patient="Eve Falk")
    one, two = after.state.jars[:2]
    assert one.recipient_id == two.recipient_id
    known = job.desk.store.get(Identity, one.recipient_id)
    assert known is not None
    assert known.name == "Eve Falk"
    said = " ".join(each.details for each in job.desk.store.history(limit=1000))
    assert "Falk" not in said + " ".join(each.event for each in after.events)


def test_without_a_name_they_go_to_the_patient_they_were_made_for(desk: Desk) -> None:
    job = for_eve(desk)
    after = hand_over_jars(job.desk, job.lot, (1,))
    assert after.state.jars[0].recipient_id == job.made.patient_id
    assert hand_over_jars(job.desk, job.lot, (2,), patient=" eve  FALK").state.jars


def test_what_was_made_for_one_patient_goes_to_no_other(desk: Desk) -> None:
    job = for_eve(desk)
    assert refused(job, 1, patient="Ivo Lund") == "verbs.hand_over_other_patient"
    assert hand_over_jars(job.desk, job.lot, (1,), ward="Ward 3").state.jars[0].recipient


def test_somebody_gets_it(job: Job) -> None:
    assert refused(job, 1) == "verbs.hand_over_to_whom"
    assert refused(job, 1, patient="Eve", ward="Ward 3") == "verbs.hand_over_to_one"


def test_a_jar_goes_only_once_and_only_if_there_is_one(job: Job) -> None:
    hand_over_jars(job.desk, job.lot, (1,), ward="Ward 3")
    assert refused(job, 2, 1, ward="Ward 4") == "bench.handing_over.gone"
    assert refused(job, 5, ward="Ward 4") == "bench.no_such_jar"


def test_the_last_jar_ends_the_preparation(job: Job) -> None:
    after = hand_over_jars(job.desk, job.lot, (1, 2, 3, 4), ward="Ward 3")
    assert after.preparation.stage is Stage.HANDED_OVER


def test_what_was_handed_over_is_labelled_no_more_which_is_said_before_any_want_of_room(
    job: Job,
) -> None:
    hand_over_jars(job.desk, job.lot, (1, 2, 3, 4), ward="Ward 3")
    said = set()
    for stock in ("50x20", "100x70"):
        with pytest.raises(Refusal) as caught:
            issue_labels(job.desk, job.lot, stock, lambda *_: None, reason="lost")
        said.add(caught.value.message)
    assert len(said) == 1
    assert said.pop().key.startswith("bench.")


def test_nothing_is_handed_over_before_release(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk)).started("4 x 50 g").cleared().packed().awaiting_release()
    assert refused(job, 1, ward="Ward 3") == "bench.handing_over.not_released"


def test_nothing_is_handed_over_while_held(job: Job) -> None:
    record(job.desk, job.lot, Held("A jar looked odd"))
    assert refused(job, 1, ward="Ward 3") == "bench.held"
    record(at(job.desk, ADA), job.lot, HoldLifted("Looked at"))
    assert hand_over_jars(job.desk, job.lot, (1,), ward="Ward 3").state.jars[0].recipient


def test_later_from_the_shelf_until_its_date(job: Job) -> None:
    day = job.made.use_by
    last = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
    job.desk = replace(job.desk, clock=Stopped(last))
    hand_over_jars(job.desk, job.lot, (1,), ward="Ward 3")
    job.desk = replace(job.desk, clock=Stopped(last.replace(year=last.year + 1)))
    assert refused(job, 2, ward="Ward 3") == "verbs.hand_over_too_old"


def test_a_reader_hands_nothing_over(job: Job) -> None:
    with pytest.raises(Forbidden):
        hand_over_jars(replace(job.desk, signed_in=False), job.lot, (1,), ward="Ward 3")


def test_where_each_jar_is_is_found_without_following_events(job: Job) -> None:
    hand_over_jars(job.desk, job.lot, (1,), ward="Ward 3")
    jars = job.desk.store.having(FilledJar, preparation_id=job.made.id)
    assert [each.place for each in jars] == [Place.WARD, Place.SHELF, Place.SHELF, Place.SHELF]


def recalled(job: Job, *, practice: bool = False) -> Recall:
    """Recall the oil."""
    number = lot_of(job.desk, job.containers[OIL]).number
    return recall_lot(at(job.desk, ADA), number, PIN, "rancid", practice=practice)


def test_a_trace_follows_each_jar_to_whoever_has_it(job: Job) -> None:
    hand_over_jars(job.desk, job.lot, (1, 2), ward="Ward 3")
    hand_over_jars(job.desk, job.lot, (3,), patient="Eve Falk")
    forward, _ = trace_lot(job.desk.store, lot_of(job.desk, job.containers[OIL]).number)
    got = {each.recipient.sort: {jar.id for jar in each.jars} for each in forward.to_call}
    assert got == {
        Sort.WARD: {f"{job.lot}/1", f"{job.lot}/2"},
        Sort.PATIENT: {f"{job.lot}/3"},
    }
    assert [each.id for each in forward.not_handed_over] == [f"{job.lot}/4"]


def test_a_jar_on_the_shelf_was_given_to_nobody_whomever_it_is_for(desk: Desk) -> None:
    job = for_eve(desk)
    forward, _ = trace_lot(desk.store, job.lot)
    assert not forward.to_call
    hand_over_jars(job.desk, job.lot, (2,))
    forward, _ = trace_lot(desk.store, job.lot)
    assert [each.recipient.id for each in forward.to_call] == [job.made.patient_id]
    one, _ = trace_lot(desk.store, f"{job.lot}/1")
    two, back = trace_lot(desk.store, f"{job.lot}/2")
    assert not one.to_call
    assert two.to_call
    assert [each.name for each in back.preparations] == [job.lot]


def test_work_that_has_no_jar_yet_reaches_nobody(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk)).started("2 x 50 g", patient="Eve Falk").cleared()
    job.weighs(OIL, "3 g")
    forward, _ = trace_lot(desk.store, lot_of(desk, job.containers[OIL]).number)
    assert [each.name for each in forward.preparations] == [job.lot]
    assert not forward.jars


def test_a_recall_holds_what_is_on_the_shelf_and_calls_the_rest_back(job: Job) -> None:
    hand_over_jars(job.desk, job.lot, (1,), ward="Ward 3")
    recall = recalled(job)
    assert [each.recipient_id for each in recall.contacts] == ["Ward 3"]
    assert set(recall.reach.shelf_jars) == {f"{job.lot}/{number}" for number in (2, 3, 4)}
    assert job.work.state.held == "Recall of lot Oil-1: rancid"
    assert refused(job, 2, ward="Ward 3") == "bench.held"


def test_a_recall_holds_open_work(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk)).started().cleared()
    job.weighs(OIL, "6 g")
    recall = recalled(job)
    assert recall.reach.open_work == (job.made.id,)
    with pytest.raises(Refusal) as caught:
        job.weighs(0, "120 g")
    assert caught.value.message.key == "bench.held"


def test_a_recall_leaves_a_mark_that_outlasts_an_earlier_hold(job: Job) -> None:
    record(job.desk, job.lot, Held("A jar looked odd"))
    recalled(job)
    state = job.work.state
    assert state.held == "A jar looked odd"
    assert len(state.open_deviations) == 1


def test_a_recall_leaves_what_is_wholly_gone_as_it_is(job: Job) -> None:
    hand_over_jars(job.desk, job.lot, (1, 2, 3, 4), ward="Ward 3")
    recall = recalled(job)
    assert len(recall.contacts[0].jar_ids) == 4
    assert job.work.preparation.stage is Stage.HANDED_OVER


def test_a_practice_recall_holds_nothing(job: Job) -> None:
    assert recalled(job, practice=True).begun.meaning is Meaning.DECIDED
    assert hand_over_jars(at(job.desk, CID), job.lot, (1,), ward="Ward 3").state.jars[0].recipient
