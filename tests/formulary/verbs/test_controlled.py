"""A controlled substance: two people sign every change, and the book never falls below nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from formulary.bench.events import LineDecided, Way
from formulary.bench.reading import Taking
from formulary.desk import Desk
from formulary.errors import Forbidden, FormularyError, Refusal
from formulary.ingredient import Ingredient
from formulary.quantity.amount import Amount
from formulary.signing import Meaning
from formulary.stock.container import StockContainer
from formulary.stock.moves import Cause, StockMove
from formulary.verbs.add_drops import add_drops
from formulary.verbs.change_stock import (
    correct_stock,
    count_stock,
    destroy_stock,
    empty_container,
    take_sample,
    waste_stock,
)
from formulary.verbs.decant_stock import decant_stock
from formulary.verbs.decide_line import decide_line
from formulary.verbs.look_up_stock import holding_of
from formulary.verbs.read_history import history_of
from formulary.verbs.two_people import Signing
from formulary.verbs.weigh_line import weigh_line
from tests.helpers.desks import ADA, BEN, CID, MORNING, PIN, Stopped, at, furnished
from tests.helpers.formulas import a_formula, a_line, active, amount
from tests.helpers.memory_store import MemoryStore
from tests.helpers.stocked import ZINC, grams, ready
from tests.helpers.stocked_bench import Job, a_job, a_stocked_house, keep_ingredient, kept_well

BOTH = Signing(PIN, BEN.id, PIN)
ACTS: dict[str, Callable[[Desk, str, Signing], object]] = {
    "count": lambda desk, jar, by: count_stock(desk, jar, grams(499), "weighed back", by),
    "correct": lambda desk, jar, by: correct_stock(desk, jar, grams(-1), "typed twice", by),
    "waste": lambda desk, jar, by: waste_stock(desk, jar, grams(1), "spilled", by),
    "sample": lambda desk, jar, by: take_sample(desk, jar, grams(1), "identity test", by),
    "decant": lambda desk, jar, by: decant_stock(desk, jar, grams(1), "Safe", by),
    "destroy": lambda desk, jar, by: destroy_stock(desk, jar, "past its date", by),
    "used up": lambda desk, jar, by: empty_container(desk, jar, "empty", by),
}


def guarded_jar(desk: Desk) -> StockContainer:
    """Return a container of 500 g of a controlled substance."""
    _, (jar,) = ready(desk)
    with desk.writing("save_ingredient") as writing:
        writing.put(replace(ZINC, controlled=True, revision=1))
    return jar


def moves(desk: Desk, jar: StockContainer) -> list[StockMove]:
    return list(desk.store.having(StockMove, container_id=jar.id))


@pytest.mark.parametrize("act", ACTS.values(), ids=ACTS)
def test_every_change_on_the_shelf_is_signed_by_two_people(
    desk: Desk, act: Callable[[Desk, str, Signing], object]
) -> None:
    jar = guarded_jar(desk)
    act(desk, jar.id, BOTH)
    (last,) = moves(desk, jar)[1:]
    assert [(each.person, each.meaning) for each in last.signatures] == [
        ("Ada Berg", Meaning.MADE),
        ("Ben Cole", Meaning.WITNESSED),
    ]


def test_the_history_says_whether_a_change_that_two_signed_is_as_they_signed_it(
    desk: Desk,
) -> None:
    jar = guarded_jar(desk)
    next(iter(ACTS.values()))(desk, jar.id, BOTH)
    assert history_of(desk.store, jar.number).entries[-1].stands is True


@pytest.mark.parametrize("act", ACTS.values(), ids=ACTS)
@pytest.mark.parametrize(
    "by",
    [
        Signing(),
        Signing(PIN),
        Signing(PIN, ADA.id, PIN),
        Signing("0000", BEN.id, PIN),
        Signing(PIN, BEN.id, "0000"),
        Signing(PIN, "p-nobody", PIN),
        Signing(PIN, alone_because="Saturday"),
    ],
    ids=["none", "one", "twice the same", "wrong first", "wrong second", "nobody", "alone"],
)
def test_without_both_nothing_changes(
    desk: Desk, act: Callable[[Desk, str, Signing], object], by: Signing
) -> None:
    jar = guarded_jar(desk)
    with pytest.raises(FormularyError):
        act(desk, jar.id, by)
    assert len(moves(desk, jar)) == 1
    assert holding_of(desk.store, jar).container.emptied_on is None


def test_nothing_is_taken_that_the_book_doesn_t_hold(desk: Desk) -> None:
    jar = guarded_jar(desk)
    with pytest.raises(Refusal) as refused:
        waste_stock(desk, jar.id, grams(501), "spilled", BOTH)
    assert refused.value.message.key == "stock.move.more_than_held"
    assert holding_of(desk.store, jar).on_hand == grams(500)


def test_waste_of_any_other_substance_needs_no_second_person(desk: Desk) -> None:
    _, (jar,) = ready(desk)
    held = waste_stock(desk, jar.id, grams(1), "spilled")
    assert held.on_hand == grams(499)


@pytest.fixture
def job(desk: Desk) -> Job:
    """Clear the bench for 200 g of a cream with 120 g of a controlled substance."""
    there = a_stocked_house(desk)
    keep_ingredient(there, "Urea", controlled=True)
    lines = (active("Urea", "60 g"), a_line("Wax", "40 g"))
    return a_job(there, kept_well(a_formula(*lines))).started().cleared()


def weighs(job: Job, weight: str, seen_by: str = BEN.id, **backing: str) -> None:
    """Let Cid weigh the first line, with Ben beside."""
    given: dict[str, str] = {"pin": PIN, "second_pin": PIN} | backing
    reading = job.reading(0, weight, witness_id=seen_by)
    weigh_line(job.desk, job.lot, 0, reading, **given)  # type: ignore[arg-type]  # by name


def test_a_weighing_has_both_signatures_even_from_the_balance(job: Job) -> None:
    with pytest.raises((Refusal, Forbidden)):
        weighs(job, "100 g", seen_by="")
    with pytest.raises(Forbidden):
        weighs(job, "100 g", seen_by=CID.id)
    weighs(job, "100 g")
    (_, weighed) = moves(job.desk, job.containers[0])
    assert [each.person for each in weighed.signatures] == ["Cid Dane", "Ben Cole"]
    assert job.work.state.lines[0].readings[0].witness_id == BEN.id


def test_a_book_that_holds_less_stops_the_bench(job: Job) -> None:
    jar = job.containers[0]
    count_stock(job.desk, jar.id, grams(50), "weighed back", BOTH)
    with pytest.raises(Refusal) as refused:
        weighs(job, "60 g")
    assert refused.value.message.key == "stock.move.more_than_held"
    assert job.work.state.lines[0].readings == ()
    assert holding_of(job.desk.store, jar).on_hand == grams(50)


def test_what_goes_to_waste_out_of_a_boat_is_seen_by_a_second_person(job: Job) -> None:
    weighs(job, "140 g")
    decide_line(at(job.desk, BEN), job.lot, LineDecided(0, Way.WASTE, "too much"), PIN)
    left = job.reading(0, "120 g", container="", taking=Taking.LEFT)
    with pytest.raises(Forbidden):
        weigh_line(job.desk, job.lot, 0, left)
    seen = replace(left, witness_id=BEN.id)
    weigh_line(job.desk, job.lot, 0, seen, second_pin=PIN)
    assert job.work.state.lines[0].portions[0].wasted == amount("20 g")


def test_who_works_alone_gives_a_signed_reason_and_looks_again(job: Job) -> None:
    weighs(job, "100 g", seen_by="", second_pin="", alone_because="alone on Saturday")
    (_, weighed) = moves(job.desk, job.containers[0])
    assert [each.alone_because for each in weighed.signatures] == ["alone on Saturday"]
    assert [each.because for each in job.work.state.exemptions] == ["alone on Saturday"]


def test_drops_of_it_are_signed_by_two_people_too(desk: Desk) -> None:
    there = a_stocked_house(desk)
    keep_ingredient(there, "Tincture", controlled=True, drop=amount("0.05 g"))
    line = a_line("Tincture", "20 drops", drop=amount("0.05 g"))
    job = a_job(there, kept_well(a_formula(line, a_line("Wax", "99 g")))).started("100 g").cleared()
    number = job.containers[0].number
    with pytest.raises(FormularyError):
        add_drops(job.desk, job.lot, 0, 5, number)
    add_drops(job.desk, job.lot, 0, 5, number, witness_id=BEN.id, pin=PIN, second_pin=PIN)
    assert holding_of(there.store, job.containers[0]).on_hand == grams(Fraction(49975, 100))


def test_the_flag_counts_from_when_it_is_set(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk)).started().cleared()
    urea = desk.store.get(Ingredient, "i-urea")
    assert urea is not None
    with desk.writing("save_ingredient") as writing:
        writing.put(replace(urea, controlled=True))
    with pytest.raises(Refusal) as refused:
        job.weighs(0, "100 g")
    assert refused.value.message.key == "stock.move.two_signatures"


@settings(max_examples=20, deadline=None)
@given(
    st.lists(
        st.tuples(st.sampled_from(["count", "waste", "correct"]), st.integers(-600, 600)),
        max_size=6,
    )
)
def test_whatever_is_tried_the_balance_stays_the_sum_of_what_two_people_signed(
    tried: list[tuple[str, int]],
) -> None:
    desk = Desk(furnished(MemoryStore()), Stopped(MORNING), ADA, "bench 1", signed_in=True)
    jar = guarded_jar(desk)
    for what, number in tried:
        try:
            _try(desk, jar, what, grams(number))
        except FormularyError:
            continue
    booked = moves(desk, jar)
    held = holding_of(desk.store, jar).on_hand
    assert held.number == sum(each.amount.number for each in booked) >= 0
    assert all(len(each.signatures) == 2 for each in booked[1:])
    assert not [each for each in booked if each.cause is Cause.DISCREPANCY]


def _try(desk: Desk, jar: StockContainer, what: str, number: Amount) -> None:
    if what == "count":
        count_stock(desk, jar.id, number, "month's end", BOTH)
    elif what == "waste":
        waste_stock(desk, jar.id, number, "spilled", BOTH)
    else:
        correct_stock(desk, jar.id, number, "typed twice", BOTH)
