"""The sample pharmacy's two months: real history, good and bad, whatever day it is made on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from formulary.bench.events import LineDecided, Way
from formulary.bench.kept import FilledJar, Place
from formulary.bench.method import method_of
from formulary.bench.stages import Stage
from formulary.bench.waste import surplus_wasted, wasted
from formulary.desk import Desk
from formulary.formula.version import State, Version
from formulary.opening import create_sample
from formulary.orders.order import Order, Purpose
from formulary.orders.standing import Standing
from formulary.people import Person, Post
from formulary.preparation import Preparation
from formulary.records import chain
from formulary.stock.container import StockContainer
from formulary.stock.lot import Halt, SupplyLot
from formulary.stock.moves import Cause, StockMove
from formulary.stock.recall import Outcome, Recall
from formulary.tracing import Sort
from formulary.verbs.look_up_order import orders_in
from formulary.verbs.look_up_stock import holdings
from formulary.verbs.review_formula import require_passed
from formulary.verbs.self_check import open_self_checks
from formulary.verbs.trace_lot import trace_lot
from formulary.verbs.work_at_bench import AtBench, at_bench, happened
from tests.helpers.examples import FULL

# Two days after London's clocks went forward.
TODAY = datetime(2026, 3, 31, 12, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Stopped:
    """A clock that stands still."""

    at: datetime

    def now(self) -> datetime:
        return self.at


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """Make the sample once, with its two months."""
    path = tmp_path_factory.mktemp("worked") / "sample.misce"
    made = create_sample(path, Stopped(TODAY))
    yield replace(made, signed_in=True)
    made.store.close()


def made_of(desk: Desk, code: str) -> list[AtBench]:
    """Return the work on each preparation of a formula, oldest first."""
    rows = [each for each in desk.store.register(limit=100) if each.code == code]
    return [at_bench(desk.store, each.lot) for each in reversed(rows)]


def test_it_shows_every_end_that_work_can_come_to(desk: Desk) -> None:
    stages = Counter(each.stage for each in desk.store.register(limit=100))
    assert sum(stages.values()) >= 24
    assert stages[Stage.REJECTED] == 1
    assert stages[Stage.AWAITING_RELEASE] == 1
    assert stages[Stage.RELEASED] >= 5
    assert stages[Stage.HANDED_OVER] >= 10


def test_it_all_happened_in_two_months_before_today(desk: Desk) -> None:
    entries = desk.store.history(limit=10_000)
    times = [each.act.at for each in entries]
    assert times == sorted(times)
    assert times[-1].date() < TODAY.date()
    assert times[0].date() == TODAY.date() - timedelta(days=60)


def test_its_history_is_a_whole_chain(desk: Desk) -> None:
    entries = desk.store.history(limit=10_000)
    assert len(entries) > 300
    assert chain.verify_chain(desk.store) is None


def test_syrup_made_here_went_into_nine_preparations(desk: Desk) -> None:
    made: list[str] = []
    for syrup in made_of(desk, "SY-001"):
        lot = syrup.preparation.lot
        forward, backward = trace_lot(desk.store, lot)
        into = {each.name for each in forward.preparations} - {lot}
        assert len(into) == len(forward.to_call) >= 4
        assert backward.of(Sort.SUPPLIER)
        made += into
    assert sorted(made) == [each.preparation.lot for each in made_of(desk, "SU-001")]
    assert len(made) == 9


def test_a_bottle_lasts_as_long_as_its_syrup_and_never_only_a_day_or_two(desk: Desk) -> None:
    bottles = [each.preparation for each in made_of(desk, "SU-001")]
    assert len({each.use_by for each in bottles}) >= 3
    assert all((each.use_by - each.made_on).days >= 14 for each in bottles)
    assert all((each.use_by - each.made_on).days <= 35 for each in bottles)


def test_one_version_waits_in_review_for_another_s_signature(desk: Desk) -> None:
    (waiting,) = [each for each in desk.store.every(Version) if each.state is State.IN_REVIEW]
    in_use = [each for each in desk.store.versions(waiting.formula_id) if each != waiting]
    assert [each.state for each in in_use] == [State.IN_USE]
    author = desk.store.get(Person, waiting.author_id)
    other = next(
        each for each in desk.store.every(Person) if each.post is Post.PHARMACIST and each != author
    )
    signer = replace(desk, person=other, signed_in=True)
    require_passed(signer, waiting)


def test_one_batch_was_made_good(desk: Desk) -> None:
    cream = made_of(desk, "CR-001")[0]
    decided = [each.event for each in happened(cream.events) if isinstance(each.event, LineDecided)]
    assert [each.way for each in decided] == [Way.MAKE_GOOD]
    assert len({line.raised for line in cream.state.lines}) == 1
    assert surplus_wasted(cream.state)


def test_too_much_was_taken_out_of_a_boat(desk: Desk) -> None:
    paste = made_of(desk, "PA-001")[0]
    assert [each.ingredient for each in wasted(paste.state)] == ["Zinc oxide"]


def test_one_batch_was_rejected_for_its_test(desk: Desk) -> None:
    rejected = made_of(desk, "GE-001")[0]
    assert rejected.preparation.stage is Stage.REJECTED
    assert rejected.state.fate
    assert not all(each.passed for each in rejected.state.tests)


def test_a_label_was_printed_again(desk: Desk) -> None:
    ointment = made_of(desk, "OI-001")[0]
    assert ointment.state.labels_printed == 3
    assert sum(each.void for each in ointment.state.labels) == 1


def test_a_supplier_lot_was_recalled_and_holds_what_was_made_of_it(desk: Desk) -> None:
    (recall,) = desk.store.every(Recall)
    assert [each.state for each in recall.contacts] == [Outcome.RETURNED]
    (lotion,) = made_of(desk, "LO-002")
    assert lotion.state.held
    (lot,) = desk.store.having(SupplyLot, number="QU-2749")
    assert lot.stop is not None
    assert lot.stop.halt is Halt.RECALLED


def test_a_prescription_became_a_one_off_for_its_patient(desk: Desk) -> None:
    (order,) = [each for each in desk.store.every(Order) if each.one_off]
    made = next(each for each in desk.store.every(Preparation) if each.order_id == order.id)
    version = desk.store.get(Version, made.version_id)
    assert version is not None
    assert version.order_id == order.id
    assert order.checks


def test_an_order_stands_in_every_state(desk: Desk) -> None:
    found = orders_in(desk.store)
    assert {each.standing for each in found} == set(Standing)
    assert {each.order.purpose for each in found} == set(Purpose)
    waits = [each for each in found if each.standing is Standing.READY and each.order.patient_id]
    again = [each for each in found if each.order.patient_id == waits[0].order.patient_id]
    assert len(again) == 2, "a known patient was picked again"


def test_what_was_done_alone_shows_and_still_waits_to_be_looked_at(desk: Desk) -> None:
    (alone,) = [each for each in made_of(desk, "OI-002") if each.state.exemptions]
    person_id = alone.state.exemptions[0].person_id
    assert len(open_self_checks(desk.store, person_id)) == 1
    assert len(alone.state.exemptions) == 2


def test_the_book_holds_as_much_as_the_shelf(desk: Desk) -> None:
    assert all(each.on_hand.number >= 0 for each in holdings(desk.store))
    moves = desk.store.every(StockMove)
    assert not [each for each in moves if each.cause is Cause.DISCREPANCY]
    assert {each.cause for each in moves} >= {Cause.RECEIVED, Cause.WEIGHED, Cause.COUNTED}


def test_nothing_was_weighed_before_it_came_or_after_its_date(desk: Desk) -> None:
    containers = {each.id: each for each in desk.store.every(StockContainer)}
    lots = {each.id: each for each in desk.store.every(SupplyLot)}
    weighed = [each for each in desk.store.every(StockMove) if each.cause is Cause.WEIGHED]
    assert len(weighed) > 50
    for move in weighed:
        lot, day = lots[containers[move.container_id].lot_id], move.at.date()
        opened = containers[move.container_id].opened_on
        assert lot.received_on <= day <= lot.expiry.last_day
        assert opened is not None
        assert opened <= day


def test_patients_and_wards_have_jars_and_some_are_on_the_shelf(desk: Desk) -> None:
    places = Counter(each.place for each in desk.store.every(FilledJar))
    assert all(places[each] > 1 for each in (Place.PATIENT, Place.WARD, Place.SHELF, Place.STOCK))


@pytest.mark.parametrize("day", [date(2028, 2, 29), *([date(2027, 1, 5)] if FULL else [])])
def test_it_is_made_on_any_day(tmp_path: Path, day: date) -> None:
    noon = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
    made = create_sample(tmp_path / "sample.misce", Stopped(noon))
    assert len(made.store.register(limit=100)) >= 24
    made.store.close()


def test_a_sample_without_work_has_made_nothing(tmp_path: Path) -> None:
    made = create_sample(tmp_path / "sample.misce", Stopped(TODAY), worked=False)
    assert not made.store.register()
    assert len(made.store.history()) == 1
    made.store.close()


def test_the_paraffin_of_the_zinc_paste_goes_in_after_its_powders(
    desk: Desk,
) -> None:
    paste = next(
        each.content
        for each in desk.store.every(Version)
        if each.content.title == "Zinc paste 25 %"
    )
    opened = [
        [paste.lines[line].ingredient for line in step.opens] for step in method_of(paste).steps
    ]
    assert opened == [["Zinc oxide", "Wheat starch"], ["White soft paraffin"], []]
