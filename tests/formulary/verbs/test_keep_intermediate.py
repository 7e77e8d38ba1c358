"""A base made here becomes stock with containers and a date of its own."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from formulary.bench.kept import FilledJar, Place
from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.errors import FormularyError, Refusal
from formulary.formula.content import Route
from formulary.quantity.amount import Concentration
from formulary.stock.container import StockContainer
from formulary.stock.controlled_register import Entry
from formulary.stock.expiry import Expiry
from formulary.stock.lot import Source, Status
from formulary.verbs.change_stock import waste_stock
from formulary.verbs.hand_over_jar import hand_over_jars
from formulary.verbs.keep_intermediate import keep_intermediate
from formulary.verbs.look_up_stock import holding_of
from formulary.verbs.read_controlled import read_controlled
from formulary.verbs.trace_lot import trace_lot
from formulary.verbs.two_people import Signing
from formulary.verbs.weigh_line import weigh_line
from tests.helpers.desks import BEN, CID, PIN, in_use
from tests.helpers.formulas import a_formula, a_line, active, amount
from tests.helpers.stocked_bench import (
    OIL,
    Job,
    a_job,
    a_stocked_house,
    four_lines,
    keep_ingredient,
    kept_well,
    lot_of,
)

TENTH = Concentration(Fraction(10), "% w/w")


@pytest.fixture
def base(desk: Desk) -> Job:
    """Make and release two jars of a base; its oil lasts until the end of April."""
    content = four_lines(title="Base", code="BA", route=Route.NOT_A_MEDICINE)
    house = a_stocked_house(desk)
    keep_ingredient(house, "Base", source=Source.INTERMEDIATE, strength=TENTH)
    job = a_job(house, content)
    job.containers[OIL] = short_lived(job)
    return job.started("2 x 100 g").cleared().released("100 g", "95 g")


def short_lived(job: Job) -> StockContainer:
    """Return a container of oil that lasts less long than the base would."""
    number = job.another(OIL, "OIL-2", expiry=Expiry(date(2026, 3, 20)), allergens=("peanut",))
    return job.desk.store.having(StockContainer, number=number)[0]


def refused(job: Job, ingredient: str = "i-base") -> str:
    """Return what keeps it from being stock."""
    with pytest.raises(Refusal) as caught:
        keep_intermediate(job.desk, job.lot, ingredient)
    return caught.value.message.key


def test_each_jar_becomes_a_container_of_a_lot_with_its_own_date(base: Job) -> None:
    kept = keep_intermediate(base.desk, base.lot, "i-base", "Shelf 9")
    assert (kept.lot.number, kept.lot.source) == (base.lot, Source.INTERMEDIATE)
    assert (kept.lot.status, kept.lot.strength, kept.lot.place) == (
        Status.ACCEPTED,
        TENTH,
        "Shelf 9",
    )
    assert kept.lot.expiry.last_day == date(2026, 3, 20)
    assert kept.lot.allergens == ("peanut",)
    assert [each.size for each in kept.containers] == [amount("100 g"), amount("95 g")]
    assert holding_of(base.desk.store, kept.containers[1]).on_hand == amount("95 g")


BOTH = Signing(PIN, BEN.id, PIN)


def of_a_controlled_substance(desk: Desk, *, controlled: bool = True) -> Job:
    """Make and release two jars of a trituration, 20 g of a controlled substance in 200 g."""
    house = a_stocked_house(desk)
    keep_ingredient(house, "Drug", controlled=True)
    keep_ingredient(
        house, "Trituration", source=Source.INTERMEDIATE, strength=TENTH, controlled=controlled
    )
    content = a_formula(active("Drug", "10 g"), a_line("Lactose", "90 g"))
    job = a_job(house, kept_well(content, title="Trituration", route=Route.NOT_A_MEDICINE))
    job.started("2 x 100 g")
    job.cleared()
    taken = job.reading(0, "20 g", witness_id=BEN.id)
    weigh_line(job.desk, job.lot, 0, taken, pin=PIN, second_pin=PIN)
    return job.released("100 g", "95 g")


def entries(desk: Desk, name: str) -> list[Entry]:
    return next(list(e.entries) for e in read_controlled(desk) if e.ingredient == name)


def test_two_people_sign_the_arrival_of_a_controlled_one_and_its_balance_begins(
    desk: Desk,
) -> None:
    job = of_a_controlled_substance(desk)
    assert [each.balance for each in entries(desk, "Drug")][-1] == amount("480 g")
    assert entries(desk, "Trituration") == []
    kept = keep_intermediate(job.desk, job.lot, "i-trituration", "Safe", BOTH)
    came = entries(desk, "Trituration")
    # 100 g and 95 g as they were filled; nothing more of the substance itself is booked.
    assert [(e.into, e.balance) for e in came] == [
        (amount("100 g"), amount("100 g")),
        (amount("95 g"), amount("195 g")),
    ]
    assert {each.people for each in came} == {(CID.name, BEN.name)}
    assert {each.lot for each in came} == {job.lot}
    assert [each.balance for each in entries(desk, "Drug")][-1] == amount("480 g")
    waste_stock(job.desk, kept.containers[0].id, amount("1 g"), "spilled", BOTH)
    last = entries(desk, "Trituration")[-1]
    assert (last.balance, last.of_container) == (amount("194 g"), amount("99 g"))


@pytest.mark.parametrize(
    "by",
    [
        Signing(),
        Signing(PIN),
        Signing(PIN, CID.id, PIN),
        Signing("0000", BEN.id, PIN),
        Signing(PIN, BEN.id, "0000"),
        Signing(PIN, alone_because="Saturday"),
    ],
    ids=["none", "one", "twice the same", "wrong first", "wrong second", "alone"],
)
def test_without_both_no_controlled_stock_arrives(desk: Desk, by: Signing) -> None:
    job = of_a_controlled_substance(desk)
    with pytest.raises(FormularyError):
        keep_intermediate(job.desk, job.lot, "i-trituration", "Safe", by)
    assert entries(desk, "Trituration") == []
    assert job.work.state.stage is Stage.RELEASED


def test_what_a_controlled_substance_went_into_is_kept_as_one(desk: Desk) -> None:
    job = of_a_controlled_substance(desk, controlled=False)
    assert refused(job, "i-trituration") == "verbs.stock_holds_controlled"
    assert job.work.state.stage is Stage.RELEASED


def test_its_jars_are_no_longer_on_the_shelf_to_be_handed_over(base: Job) -> None:
    keep_intermediate(base.desk, base.lot, "i-base")
    assert base.made.stage is Stage.HANDED_OVER
    jars = base.desk.store.having(FilledJar, preparation_id=base.made.id)
    assert {each.place for each in jars} == {Place.STOCK}
    assert refused(base) == "verbs.stock_some_gone"


def test_it_is_weighed_like_anything_on_the_shelf_and_traced_through(base: Job) -> None:
    kept = keep_intermediate(base.desk, base.lot, "i-base")
    version = in_use(base.desk, kept_well(a_formula(active("Base", "50 g"), a_line("Oil", "50 g"))))
    cream = Job(base.desk, version, [kept.containers[0]]).started("100 g").cleared()
    cream.weighs(0, "50 g")
    forward, backward = trace_lot(base.desk.store, "OIL-2")
    assert [each.name for each in forward.preparations] == [base.lot, cream.lot]
    assert not forward.jars
    assert backward.supplier_lots
    _, back = trace_lot(base.desk.store, cream.lot)
    assert "OIL-2" in {each.name for each in back.supplier_lots}


def test_it_becomes_an_ingredient_that_is_made_here(base: Job) -> None:
    with_other = keep_ingredient(base.desk, "Other base")
    assert refused(base, with_other.id) == "verbs.stock_no_intermediate"
    assert refused(base, "i-nothing") == "verbs.no_ingredient_record"


def test_what_is_given_to_patients_is_no_stock(desk: Desk) -> None:
    house = a_stocked_house(desk)
    keep_ingredient(house, "Base", source=Source.INTERMEDIATE)
    job = a_job(house).started("2 x 100 g").cleared().released()
    assert refused(job) == "verbs.stock_is_a_medicine"


def test_what_is_not_given_to_patients_is_never_handed_over(base: Job) -> None:
    with pytest.raises(Refusal) as caught:
        hand_over_jars(base.desk, base.lot, (1,), ward="Ward 3")
    assert caught.value.message.key == "verbs.hand_over_no_medicine"


def test_only_what_is_released_is_kept(desk: Desk) -> None:
    house = a_stocked_house(desk)
    keep_ingredient(house, "Base", source=Source.INTERMEDIATE)
    job = a_job(house, four_lines(route=Route.NOT_A_MEDICINE)).started("2 x 100 g").cleared()
    job.packed()
    assert refused(job) == "verbs.stock_not_released"
    assert lot_of(job.desk, job.containers[OIL]).source is Source.SUBSTANCE
