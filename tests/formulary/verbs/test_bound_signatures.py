"""A signature belongs to what was signed: where that is another thing, it doesn't stand."""

from __future__ import annotations

from dataclasses import replace

from formulary.bench.events import PlanChecked, Released
from formulary.bench.kept import BenchEvent
from formulary.bench.standing import standing
from formulary.canonical import content_hash
from formulary.desk import Desk
from formulary.signing import Meaning, Signature
from formulary.stock.moves import Cause, StockMove
from formulary.verbs.two_people import bound
from formulary.verbs.work_at_bench import record
from tests.helpers.desks import ADA, BEN, MORNING, PIN, at
from tests.helpers.formulas import amount
from tests.helpers.stocked_bench import Job, a_job, a_stocked_house


def test_the_check_of_a_plan_and_the_release_stand_for_all_that_went_before(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk)).started().cleared().packed().awaiting_release()
    work = record(at(desk, BEN), job.lot, Released(), pin=PIN)
    signed = [each.number for each in work.events if each.signature is not None]
    assert len(signed) == 2
    assert all(standing(work.events, work.job)[number] for number in signed)


def test_a_signature_put_under_another_event_does_not_stand(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk)).started()
    work = record(at(desk, ADA), job.lot, PlanChecked(), pin=PIN)
    other = Job(job.desk, job.version, job.containers).started()
    moved = (*other.work.events, replace(work.events[-1], preparation_id=other.made.id))
    assert standing(work.events, work.job)[2]
    assert not standing(moved, other.work.job)[2]


def test_a_weighing_changed_before_a_release_takes_the_release_away(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk)).started().cleared().packed().awaiting_release()
    work = record(at(desk, BEN), job.lot, Released(), pin=PIN)
    events: list[BenchEvent] = list(work.events)
    weighed = next(i for i, each in enumerate(events) if '"line weighed"' in each.event)
    events[weighed] = replace(events[weighed], person="Somebody else")
    assert not standing(events, work.job)[len(events)]
    assert standing(work.events, work.job)[len(events)]


def test_the_signatures_of_a_movement_are_bound_to_it() -> None:
    one = Signature("p", "Ada Berg", "pharmacist", Meaning.MADE, MORNING)
    move = StockMove("m", "c", amount("2 g") * -1, Cause.WASTED, MORNING, "p", "Ada Berg", "spilt")
    kept = bound(replace(move, signatures=(one,)))
    assert [each.content_hash for each in kept.signatures] == [content_hash(move)]
    more = replace(kept, amount=amount("3 g") * -1)
    assert kept.signatures[0].content_hash != content_hash(replace(more, signatures=()))
