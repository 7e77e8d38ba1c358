"""Where a preparation stands is worked out once, and never wrongly remembered."""

from __future__ import annotations

from dataclasses import replace

from formulary.bench.fold import follow_all
from formulary.bench.kept import BenchEvent, BenchJob
from formulary.bench.remembering import kept, recorded, requested, state_of
from formulary.bench.state import State
from formulary.formula.content import Content
from tests.helpers.at_bench import a_bench, a_cream
from tests.helpers.formulas import scaled

CREAM = a_cream()
JOB = BenchJob("m-1", scaled(CREAM, "100 g"), 2, "bench 1")
DONE = tuple(kept(each, "m-1") for each in a_bench(CREAM).released().followed)


def afresh(content: Content, job: BenchJob, events: tuple[BenchEvent, ...]) -> State:
    """Follow every event from the beginning."""
    return follow_all(requested(content, job), map(recorded, events))


def test_each_event_more_leads_to_the_same_as_all_from_the_beginning() -> None:
    for count in range(len(DONE) + 1):
        assert state_of(CREAM, JOB, DONE[:count]) == afresh(CREAM, JOB, DONE[:count])


def test_fewer_events_than_were_seen_are_followed_anew() -> None:
    state_of(CREAM, JOB, DONE)
    assert state_of(CREAM, JOB, DONE[:4]) == afresh(CREAM, JOB, DONE[:4])


def test_another_event_in_the_place_of_one_that_was_seen_counts() -> None:
    state_of(CREAM, JOB, DONE[:4])
    other = (*DONE[:3], replace(DONE[3], person_id="p-x", person="Somebody else"))
    assert state_of(CREAM, JOB, other) == afresh(CREAM, JOB, other)
    assert state_of(CREAM, JOB, other) != state_of(CREAM, JOB, DONE[:4])


def test_another_plan_under_the_same_id_is_another_preparation() -> None:
    state_of(CREAM, JOB, DONE[:1])
    larger = replace(JOB, plan=scaled(CREAM, "200 g"))
    assert state_of(CREAM, larger, DONE[:1]).job.plan == larger.plan


def test_many_preparations_at_once_are_kept_apart() -> None:
    jobs = [replace(JOB, id=f"m-{number}", containers=number + 1) for number in range(70)]
    states = [state_of(CREAM, each, DONE[:1]) for each in jobs]
    assert [each.job.containers for each in states] == list(range(1, 71))
    assert [state_of(CREAM, each, DONE[:1]) for each in jobs] == states
