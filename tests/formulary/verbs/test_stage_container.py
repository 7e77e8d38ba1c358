"""A wrong container stays on record with who fetched it, when, and why it isn't taken."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

import pytest

from formulary.bench.event_text import event_of
from formulary.bench.events import ContainerRefused
from formulary.bench.in_boat import on_the_balance
from formulary.desk import Desk
from formulary.errors import BadText, NotFound, Refusal
from formulary.quantity.amount import Concentration
from formulary.stock.expiry import Expiry
from formulary.stock.lot import Source
from formulary.verbs.stage_container import stage_container
from tests.helpers.desks import MORNING, Stopped
from tests.helpers.formulas import a_formula, a_line, amount
from tests.helpers.stocked_bench import (
    UREA,
    WAX,
    Job,
    a_job,
    a_stocked_house,
    keep_ingredient,
    kept_well,
)


@pytest.fixture
def job(desk: Desk) -> Job:
    """Start four lines and clear the bench for them."""
    return a_job(a_stocked_house(desk)).started().cleared()


def fetched(job: Job, line: int, number: str) -> ContainerRefused:
    """Return what is on record of a container that isn't taken."""
    found = stage_container(job.desk, job.lot, line, number, typed=False)
    assert isinstance(found.refusal, Refusal)
    kept = job.work.events[-1]
    assert (kept.person, kept.at) == ("Cid Dane", job.desk.clock.now())
    event = event_of(kept.event)
    assert isinstance(event, ContainerRefused)
    assert (event.line, event.container) == (line, number)
    return event


def test_the_container_of_another_ingredient(job: Job) -> None:
    event = fetched(job, UREA, job.containers[WAX].number)
    assert "Wax" in event.why
    assert job.work.state.staged == ()


def test_an_expired_lot(job: Job) -> None:
    number = job.another(UREA, "OLD", expiry=Expiry(MORNING.date()))
    job.desk = replace(job.desk, clock=Stopped(MORNING + timedelta(days=1)))
    assert "10 Mar 2026" in fetched(job, UREA, number).why


@pytest.mark.parametrize(
    ("number", "more"),
    [
        ("DIL", {"strength": Concentration(Fraction(5), "% w/w")}),
        ("NEAT", {"source": Source.SUBSTANCE, "strength": None}),
    ],
)
def test_another_strength_or_kind(desk: Desk, number: str, more: dict[str, object]) -> None:
    house = a_stocked_house(desk)
    tenth = Concentration(Fraction(10), "% w/w")
    keep_ingredient(house, "Dye", source=Source.CONCENTRATE, strength=tenth)
    job = a_job(house, kept_well(a_formula(a_line("Dye", "100 g")))).started("100 g").cleared()
    assert fetched(job, 0, job.another(0, number, **more)).why


def test_a_scan_of_something_that_is_no_container_of_the_house(job: Job) -> None:
    assert fetched(job, UREA, "4006381333931").why


def test_a_number_that_was_only_mistyped_is_no_container_that_was_fetched(job: Job) -> None:
    before = len(job.work.events)
    for number in ("12", "4006381333931"):
        with pytest.raises((BadText, NotFound)):
            stage_container(job.desk, job.lot, UREA, number, typed=True)
    assert len(job.work.events) == before


def test_it_blocks_nothing_and_leaves_the_boat_on_the_balance(job: Job) -> None:
    job.weighs(UREA, "20 g")
    fetched(job, UREA, job.containers[WAX].number)
    assert on_the_balance(job.work.state, UREA) == amount("20 g")
    job.weighs(UREA, "100 g")
    assert job.work.state.makers == ("p-cid",)
