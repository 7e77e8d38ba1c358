"""Each act at the bench goes through one door: role, signature, one transaction, one bench."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.bench.events import (
    Answer,
    BenchCleared,
    Category,
    DeviationDecided,
    DeviationOpened,
    Held,
    HoldLifted,
    Interrupted,
    Moved,
    PlanChecked,
    Planned,
    Released,
    StepDone,
    SteppedBack,
)
from formulary.bench.kept import BenchEvent, FilledJar, Place
from formulary.bench.stages import Stage
from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import Conflict, Forbidden, FormularyError, NotFound, NotSignedIn, Refusal
from formulary.formula.content import Ask, Asked, MethodStep
from formulary.people import Person, Post
from formulary.preparation import Preparation
from formulary.signing import Meaning
from formulary.verbs.work_at_bench import at_bench, record
from tests.helpers.desks import ADA, BEN, CID, PIN, PIN_HASH, a_desk, at
from tests.helpers.kept import a_content, a_preparation, keep_formula
from tests.helpers.stocked_bench import Job, a_job, a_stocked_house, four_lines

RUTH = Person("p-ruth", "Ruth Elm", Post.READER, PIN_HASH)


@pytest.fixture
def job(desk: Desk) -> Job:
    """Start a preparation at Cid's desk."""
    return a_job(a_stocked_house(desk)).started()


def refused(job: Job, act: object, error: type[FormularyError] = Refusal, **backing: object) -> str:
    """Return what refuses an act, after which nothing more is kept than before."""
    before = len(job.desk.store.history(limit=1000))
    with pytest.raises(error) as caught:
        record(job.desk, job.lot, act, **backing)  # type: ignore[arg-type]  # any event
    assert len(job.desk.store.history(limit=1000)) == before
    return caught.value.message.key


def test_an_event_is_kept_with_who_when_and_where_it_led(job: Job) -> None:
    record(at(job.desk, ADA), job.lot, PlanChecked(), pin=PIN)
    work = job.work
    assert work.state.stage is Stage.PLAN_CHECKED
    kept = work.events[-1]
    assert (kept.number, kept.person, kept.at) == (2, ADA.name, job.desk.act().at)
    assert job.made.stage is Stage.PLAN_CHECKED
    entry = job.desk.store.history(limit=1000)[-1]
    assert entry.verb == "check_plan"
    assert job.lot in entry.details


def test_what_is_to_be_signed_is_signed_with_its_meaning(job: Job) -> None:
    after = record(at(job.desk, ADA), job.lot, PlanChecked(), pin=PIN)
    signature = after.events[-1].signature
    assert signature is not None
    assert (signature.person, signature.meaning) == (ADA.name, Meaning.CHECKED)


def test_a_wrong_pin_signs_nothing(job: Job) -> None:
    with pytest.raises(Forbidden) as caught:
        record(at(job.desk, ADA), job.lot, PlanChecked(), pin="0000")
    assert caught.value.message.key == "people.wrong_pin"
    assert job.work.state.stage is Stage.PLANNED


def test_each_act_asks_for_its_role(job: Job) -> None:
    job.cleared()
    with at(job.desk, ADA).writing("save_person") as writing:
        writing.put(RUTH)
    reader = replace(job, desk=at(job.desk, RUTH))
    assert refused(reader, Interrupted(), Forbidden) == "roles.may_not"
    record(job.desk, job.lot, DeviationOpened(Category.OTHER, "The lamp failed"))
    decided = DeviationDecided(1, "No influence")
    assert refused(job, decided, Forbidden, pin=PIN) == "roles.may_not"
    assert not record(at(job.desk, ADA), job.lot, decided, pin=PIN).state.open_deviations


def test_nobody_acts_at_a_desk_without_signing_in(job: Job) -> None:
    away = replace(job, desk=replace(job.desk, signed_in=False))
    assert refused(away, Interrupted(), NotSignedIn) == "people.sign_in_first"


def test_who_planned_checks_the_plan_only_alone_for_a_reason(job: Job) -> None:
    said = refused(job, PlanChecked(), Forbidden, pin=PIN)
    assert said == "bench.plan.same_person"
    after = record(job.desk, job.lot, PlanChecked(), pin=PIN, alone_because="Saturday")
    assert [each.because for each in after.state.exemptions] == ["Saturday"]
    assert job.desk.store.history(limit=1000)[-1].act.reason == "Saturday"


def test_what_is_not_allowed_now_leaves_nothing(job: Job) -> None:
    assert refused(job, StepDone(0)) == "bench.not_at_this_stage"
    assert refused(job, BenchCleared()) == "bench.move"
    assert job.made.stage is Stage.PLANNED


def test_one_bench_has_one_open_preparation(job: Job) -> None:
    job.cleared()
    other = Job(job.desk, job.version, job.containers).started()
    record(at(other.desk, ADA), other.lot, PlanChecked(), pin=PIN)
    said = refused(other, BenchCleared(other.work.job.clearance))
    assert said == "verbs.bench_taken"
    job.weighs_all()
    assert refused(other, BenchCleared(other.work.job.clearance)) == "verbs.bench_taken"
    record(job.desk, job.lot, Moved("bench 2"))
    after = record(other.desk, other.lot, BenchCleared(other.work.job.clearance))
    assert after.state.stage is Stage.BENCH_CLEARED


def test_a_packed_preparation_leaves_its_bench_free(job: Job) -> None:
    job.cleared().packed()
    other = Job(job.desk, job.version, job.containers).started().cleared()
    assert other.made.stage is Stage.BENCH_CLEARED


def test_work_goes_on_at_another_bench(job: Job) -> None:
    job.cleared()
    after = record(job.desk, job.lot, Moved("bench 2"))
    assert after.preparation.workstation == "bench 2"
    assert job.desk.store.having(Preparation, stage=Stage.BENCH_CLEARED, workstation="bench 2")


def test_a_step_back_frees_nothing_that_is_taken(job: Job) -> None:
    job.cleared()
    other = Job(job.desk, job.version, job.containers).started()
    record(at(other.desk, ADA), other.lot, PlanChecked(), pin=PIN)
    record(job.desk, job.lot, SteppedBack(Stage.PLAN_CHECKED, "wrong apron"))
    record(other.desk, other.lot, BenchCleared(other.work.job.clearance))
    assert refused(job, BenchCleared(job.work.job.clearance)) == "verbs.bench_taken"


def test_a_hold_stops_the_work_until_a_pharmacist_lifts_it(job: Job) -> None:
    record(job.desk, job.lot, Held("The supplier rang"))
    assert refused(replace(job, desk=at(job.desk, ADA)), PlanChecked(), pin=PIN) == "bench.held"
    assert refused(job, HoldLifted("All clear"), Forbidden) == "roles.may_not"
    record(at(job.desk, ADA), job.lot, HoldLifted("All clear"))
    assert job.cleared().made.stage is Stage.BENCH_CLEARED


def test_two_desks_at_once_are_told_apart(job: Job) -> None:
    job.cleared()
    seen = job.work.state.events
    record(a_desk(job.desk.store, BEN), job.lot, Interrupted("telephone"), seen=seen)
    with pytest.raises(Conflict) as late:
        record(job.desk, job.lot, Interrupted("door bell"), seen=seen)
    said = Catalogue().text(late.value.message).replace("\N{NO-BREAK SPACE}", " ")
    assert f"in the meantime, by {BEN.name}, 10 Mar 2026" in said
    assert ": Interrupting the work. " in said
    assert record(job.desk, job.lot, Interrupted("door bell"), seen=seen + 1).state.interrupted


def test_no_event_is_ever_changed(job: Job) -> None:
    event = job.desk.store.having(BenchEvent, preparation_id=job.made.id)[0]
    with (
        pytest.raises(Forbidden),
        job.desk.store.writing(job.desk.act(), "tamper") as writing,
    ):
        writing.put(replace(event, person="Somebody else"))


def test_the_plan_that_was_made_is_bound_to_its_event(job: Job) -> None:
    first = job.work.events[0]
    assert Planned("200 g").target in first.event.replace("\N{NO-BREAK SPACE}", " ")
    assert "plan_hash" in first.event


def asking_for_a_second_person(desk: Desk) -> Job:
    """Return work at a step that a second person has to see."""
    ask = Ask(Asked.SECOND_PERSON)
    content = four_lines(steps=(MethodStep("Stir", asks=(ask,)),))
    return a_job(a_stocked_house(desk), content).started().cleared().weighs_all()


def test_a_second_person_proves_it_with_a_pin(desk: Desk) -> None:
    job = asking_for_a_second_person(desk)
    done = StepDone(0, (Answer(Asked.SECOND_PERSON, person_id=BEN.id),))
    with pytest.raises(Forbidden):
        record(job.desk, job.lot, done, second_pin="0000")
    assert record(job.desk, job.lot, done, second_pin=PIN).state.done_steps == {0}


def test_alone_a_step_is_signed_instead(desk: Desk) -> None:
    job = asking_for_a_second_person(desk)
    after = record(job.desk, job.lot, StepDone(0), pin=PIN, alone_because="Saturday")
    assert after.state.done_steps == {0}
    assert [each.person_id for each in after.state.exemptions] == [CID.id]


def test_each_filled_jar_is_found_by_its_number(job: Job) -> None:
    job.cleared().packed("60 g", "60 g", "60 g")
    jars = job.desk.store.having(FilledJar, preparation_id=job.made.id)
    assert [each.id for each in jars] == [f"{job.lot}/{i}" for i in (1, 2, 3)]
    record(job.desk, job.lot, SteppedBack(Stage.IN_WORK, "one jar leaked"))
    jars = job.desk.store.having(FilledJar, preparation_id=job.made.id)
    assert {each.place for each in jars} == {Place.NOWHERE}
    job.packed("60 g", "60 g")
    jars = job.desk.store.having(FilledJar, preparation_id=job.made.id)
    assert [each.place for each in jars] == [Place.SHELF, Place.SHELF, Place.NOWHERE]


def test_an_unknown_lot_and_one_from_before_the_bench_are_said(desk: Desk) -> None:
    with pytest.raises(NotFound) as caught:
        at_bench(desk.store, "26-99999")
    assert caught.value.message.key == "verbs.no_such_lot"
    keep_formula(desk.store, a_content())
    with desk.store.writing(desk.act(), "start") as writing:
        writing.put(a_preparation())
    with pytest.raises(NotFound) as caught:
        at_bench(desk.store, "K26-00001")
    assert caught.value.message.key == "verbs.not_at_the_bench"


def test_the_releaser_made_none_of_it(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk))
    job.desk = at(desk, ADA)
    job.started()
    record(at(desk, BEN), job.lot, PlanChecked(), pin=PIN)
    record(job.desk, job.lot, BenchCleared())
    job.packed().awaiting_release()
    assert refused(job, Released(), Forbidden, pin=PIN) == "bench.release.same_person"
    after = record(at(desk, BEN), job.lot, Released(), pin=PIN)
    assert after.preparation.stage is Stage.RELEASED
