"""Two desks on one file: each has its own store, and neither writes over what it hasn't seen."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from formulary.bench.events import Interrupted
from formulary.desk import Desk
from formulary.errors import Conflict
from formulary.records.opening import open_store
from formulary.verbs.change_stock import count_stock, waste_stock
from formulary.verbs.look_up_stock import holding_of
from formulary.verbs.weigh_line import weigh_line
from formulary.verbs.work_at_bench import at_bench, record
from tests.helpers.desks import BEN, CID, MORNING, Stopped, a_desk, furnished
from tests.helpers.formulas import amount
from tests.helpers.stocked_bench import UREA, Job, a_job, a_stocked_house


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """Return where the house is."""
    return tmp_path / "house.misce"


@pytest.fixture
def job(file: Path) -> Iterator[Job]:
    """Start a preparation at Cid's desk, on a file."""
    with closing(open_store(file, create=True)) as store:
        yield a_job(a_stocked_house(a_desk(furnished(store), CID))).started().cleared()


@pytest.fixture
def other(file: Path, job: Job) -> Iterator[Desk]:
    """Return Ben's desk on the same file, at another workstation five minutes later."""
    assert job.lot
    with closing(open_store(file)) as store:
        later = a_desk(store, BEN, MORNING + timedelta(minutes=5))
        yield replace(later, workstation="bench 2")


def test_of_two_weighings_of_one_line_the_second_is_told_of_the_first(
    job: Job, other: Desk
) -> None:
    seen = at_bench(other.store, job.lot).state.events
    assert seen == job.work.state.events
    reading = job.reading(UREA, "120 g")
    weigh_line(other, job.lot, UREA, reading, seen=seen)
    with pytest.raises(Conflict) as late:
        weigh_line(job.desk, job.lot, UREA, reading, seen=seen)
    told = dict(late.value.message.parameters)
    assert (told["by"], told["at"]) == (BEN.name, other.act().at)
    assert len(job.work.state.lines[UREA].readings) == 1
    assert holding_of(job.desk.store, job.container(UREA)).on_hand == amount("380 g")


def test_whoever_looked_again_goes_on(job: Job, other: Desk) -> None:
    seen = job.work.state.events
    record(other, job.lot, Interrupted("telephone"), seen=seen)
    after = weigh_line(
        job.desk, job.lot, UREA, job.reading(UREA, "120 g"), seen=job.work.state.events
    )
    assert len(after.state.lines[UREA].readings) == 1


def test_a_count_is_told_of_what_was_spilt_at_the_other_desk(job: Job, other: Desk) -> None:
    held = holding_of(job.desk.store, job.container(UREA))
    waste_stock(other, held.container.id, amount("1 g"), "spilt")
    with pytest.raises(Conflict) as late:
        count_stock(job.desk, held.container.id, amount("500 g"), "weighed back", seen=held)
    told = dict(late.value.message.parameters)
    assert (told["by"], told["at"]) == (BEN.name, other.act().at)
    assert holding_of(job.desk.store, held.container).on_hand == amount("499 g")


def test_clocks_of_two_desks_may_stand_apart(job: Job, other: Desk) -> None:
    early = replace(other, clock=Stopped(MORNING - timedelta(minutes=5)))
    seen = job.work.state.events
    record(early, job.lot, Interrupted("telephone"), seen=seen)
    with pytest.raises(Conflict):
        record(job.desk, job.lot, Interrupted("door bell"), seen=seen)
