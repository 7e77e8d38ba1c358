"""One supplier's lot is recalled: five things happen at once, through a base made here as well."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import pytest

from formulary.desk import Desk
from formulary.errors import FormularyError, Refusal
from formulary.formula.content import Route
from formulary.quantity.amount import Concentration
from formulary.register.shelf import JarStanding
from formulary.stock.container import StockContainer, obstacle
from formulary.stock.lot import Source
from formulary.stock.recall import Outcome, Recall
from formulary.verbs.hand_over_jar import hand_over_jars
from formulary.verbs.keep_intermediate import keep_intermediate
from formulary.verbs.list_shelf import look_up_jar
from formulary.verbs.open_container import open_container
from formulary.verbs.recall_lot import Call, note_call, recall_lot
from formulary.verbs.work_at_bench import at_bench
from tests.helpers.desks import ADA, CID, PIN, at, in_use
from tests.helpers.formulas import a_formula, a_line, active
from tests.helpers.stocked_bench import (
    OIL,
    Job,
    a_job,
    a_stocked_house,
    four_lines,
    keep_ingredient,
    kept_well,
    lot_of,
    on_shelf,
)

TENTH = Concentration(Fraction(10), "% w/w")


@dataclass
class House:
    """A base of recalled oil on the shelf, and creams of it at every stage."""

    desk: Desk
    base: Job
    kept: StockContainer
    given: Job
    in_work: Job

    def recall(self) -> Recall:
        """Recall the oil."""
        number = lot_of(self.desk, self.base.containers[OIL]).number
        return recall_lot(at(self.desk, ADA), number, PIN, "rancid at the maker")


@pytest.fixture
def house(desk: Desk) -> House:
    there = a_stocked_house(desk)
    keep_ingredient(there, "Base", source=Source.INTERMEDIATE, strength=TENTH)
    content = four_lines(title="Base", code="BA", route=Route.NOT_A_MEDICINE)
    base = a_job(there, content).started("2 x 100 g").cleared().released("100 g", "95 g")
    (kept, _) = keep_intermediate(there, base.lot, "i-base").containers
    talc = keep_ingredient(there, "Talc")
    (other,) = on_shelf(there, talc)
    cream = kept_well(a_formula(active("Base", "20 g"), a_line("Talc", "80 g")))
    version = in_use(there, cream)
    given = Job(there, version, [kept, other]).started("2 x 50 g").cleared().released()
    hand_over_jars(there, given.lot, (1,), patient="Quentin Zimt")
    in_work = Job(there, version, [kept, other]).started("100 g").cleared()
    in_work.weighs(0, "20 g")
    return House(there, base, kept, given, in_work)


def test_its_containers_and_those_of_the_base_are_frozen(house: House) -> None:
    house.recall()
    for container in (house.base.containers[OIL], house.kept):
        with pytest.raises(Refusal) as refused:
            open_container(house.desk, container.id)
        assert refused.value.message.key == "stock.obstacle.recalled"


def test_open_work_is_held_at_once(house: House) -> None:
    recall = house.recall()
    assert recall.reach.open_work == (house.in_work.made.id,)
    assert house.in_work.work.state.held
    with pytest.raises(FormularyError):
        house.in_work.weighs(1, "80 g")


def test_what_was_made_of_it_is_held_and_its_shelf_jars_go_nowhere(house: House) -> None:
    recall = house.recall()
    assert house.given.made.id in recall.reach.made
    assert recall.reach.shelf_jars == (f"{house.given.lot}/2",)
    assert house.given.work.state.held
    with pytest.raises(Refusal):
        hand_over_jars(house.desk, house.given.lot, (2,), ward="Ward 3")


def test_whoever_has_a_jar_stands_on_the_contact_list_with_a_state(house: House) -> None:
    recall = house.recall()
    (contact,) = recall.contacts
    assert contact.jar_ids == (f"{house.given.lot}/1",)
    assert (contact.state, contact.settled) == (None, False)
    jar = f"{house.given.lot}/1"
    called = note_call(
        at(house.desk, CID), recall.id, contact.recipient_id, Call(Outcome.RETURNED, jar)
    )
    seen = look_up_jar(house.desk.store, jar, house.desk.today)
    assert (seen.came_back, seen.standing) == (True, JarStanding.RECALLED)
    assert called.contacts[0].state is Outcome.RETURNED
    assert called.contacts[0].settled


def test_what_never_touched_it_goes_on(house: House) -> None:
    house.recall()
    (_, talc) = house.given.containers
    assert obstacle(talc, lot_of(house.desk, talc), house.desk.today) is None
    assert at_bench(house.desk.store, house.base.lot).state.held == ""
