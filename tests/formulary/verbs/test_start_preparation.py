"""A preparation from its start: lot, plan and last day of use fixed, people kept apart."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction

import pytest

from formulary.bench.stages import Stage
from formulary.calculations.corrections import Certificate
from formulary.desk import Desk
from formulary.errors import Forbidden, NotFound, Refusal
from formulary.formula.content import Period, ShelfLife, Span
from formulary.people import Identity, Part
from formulary.scaling.plan import Choices
from formulary.store import Store
from formulary.verbs.move_version import withdraw
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.write_version import write_version
from tests.helpers.desks import CID, MORNING, a_desk, at, furnished, in_use
from tests.helpers.formulas import a_house, amount
from tests.helpers.kept import a_content, dry


def test_it_gets_a_lot_and_keeps_what_was_planned(desk: Desk) -> None:
    version = in_use(desk)
    made = start_preparation(at(desk, CID), version.id, Order("3 x 60 g", "3 %"))
    assert made.lot == "26-00001"
    assert (made.code, made.title, made.version_number) == ("ZC", "Zinc cream", 1)
    assert (made.containers, made.fill) == (3, amount("60 g"))
    assert made.target.replace("\N{NO-BREAK SPACE}", " ") == "3 x 60 g"
    assert (made.stage, made.started_by, made.started_at) == (Stage.PLANNED, "Cid Dane", MORNING)
    plan = json.loads(made.plan)
    assert plan["to_make"] == {"amount": "185.4", "unit": "g"}
    assert plan["lines"][0]["to_measure"] == {"amount": "9.27", "unit": "g"}
    assert desk.store.preparation(made.lot) == made


def test_lots_run_on_and_are_never_given_again(desk: Desk) -> None:
    version = in_use(desk)
    lots = [start_preparation(desk, version.id, Order("60 g")).lot for _ in range(3)]
    assert lots == ["26-00001", "26-00002", "26-00003"]


def test_a_refused_start_takes_no_lot(desk: Desk) -> None:
    version = in_use(desk)
    with pytest.raises(Refusal):
        start_preparation(desk, version.id, Order("60 mL"))
    assert start_preparation(desk, version.id, Order("60 g")).lot == "26-00001"


def test_the_lot_is_on_the_history(desk: Desk) -> None:
    made = start_preparation(desk, in_use(desk).id, Order("60 g"))
    entry = desk.store.history()[-1]
    assert entry.verb == "start_preparation"
    assert made.lot in entry.details


@pytest.mark.parametrize(
    ("period", "last"),
    [
        (Period(35, Span.DAYS), date(2026, 4, 13)),
        (Period(1, Span.DAYS), date(2026, 3, 10)),
        (Period(2, Span.WEEKS), date(2026, 3, 23)),
        # The rule's 180 days end before half a year.
        (Period(6, Span.MONTHS), date(2026, 9, 5)),
    ],
)
def test_the_last_day_of_use_follows_from_the_day_of_making(
    desk: Desk, period: Period, last: date
) -> None:
    version = in_use(desk, replace(dry(a_content()), shelf_life=ShelfLife(period)))
    made = start_preparation(desk, version.id, Order("60 g"))
    assert (made.made_on, made.use_by) == (date(2026, 3, 10), last)


@pytest.mark.parametrize(
    ("zone", "made_on"),
    [
        ("UTC", date(2026, 3, 10)),
        ("Pacific/Auckland", date(2026, 3, 11)),
        ("America/New_York", date(2026, 3, 10)),
        ("Europe/Berlin", date(2026, 3, 11)),
    ],
)
def test_the_day_of_making_is_the_houses_own(memory_store: Store, zone: str, made_on: date) -> None:
    store = furnished(memory_store, a_house(zone=zone))
    late = a_desk(store, at=datetime(2026, 3, 10, 23, 30, tzinfo=UTC))
    made = start_preparation(late, in_use(late).id, Order("60 g"))
    assert made.made_on == made_on
    assert made.started_at == datetime(2026, 3, 10, 23, 30, tzinfo=UTC)
    assert made.started_at.date() == made_on


def test_the_lots_year_is_the_houses_own(memory_store: Store) -> None:
    store = furnished(memory_store, a_house(zone="Pacific/Auckland", lot_prefix="K"))
    eve = a_desk(store, at=datetime(2026, 12, 31, 23, 30, tzinfo=UTC))
    assert start_preparation(eve, in_use(eve).id, Order("60 g")).lot == "K27-00001"


def test_an_acts_time_has_the_houses_offset(memory_store: Store) -> None:
    store = furnished(memory_store, a_house(zone="Pacific/Auckland"))
    desk = a_desk(store)
    in_use(desk)
    assert desk.store.history()[-1].act.at.utcoffset() == timedelta(hours=13)


def test_people_are_kept_apart_behind_ids(desk: Desk) -> None:
    order = Order("60 g", directions="Twice a day.", patient=" Eve Falk ", prescriber="Dr Gray")
    made = start_preparation(desk, in_use(desk).id, order)
    patient = desk.store.get(Identity, made.patient_id)
    prescriber = desk.store.get(Identity, made.prescriber_id)
    assert patient is not None
    assert prescriber is not None
    assert (patient.part, patient.name) == (Part.PATIENT, "Eve Falk")
    assert (prescriber.part, prescriber.name) == (Part.PRESCRIBER, "Dr Gray")
    told = " ".join(entry.details for entry in desk.store.history())
    for name in ("Falk", "Gray"):
        assert name not in told
        assert name not in repr(made)


def test_nobody_named_is_nobody_kept(desk: Desk) -> None:
    made = start_preparation(desk, in_use(desk).id, Order("60 g", patient="  "))
    assert (made.patient_id, made.prescriber_id) == ("", "")
    assert list(desk.store.every(Identity)) == []


def test_a_draft_is_not_made(desk: Desk) -> None:
    version = write_version(desk, a_content())
    with pytest.raises(Forbidden) as caught:
        start_preparation(desk, version.id, Order("60 g"))
    assert caught.value.message.key == "verbs.not_in_use"


def test_what_was_withdrawn_is_not_made(desk: Desk) -> None:
    version = in_use(desk)
    withdraw(desk, version.id, "old")
    with pytest.raises(Forbidden):
        start_preparation(desk, version.id, Order("60 g"))


def test_an_unknown_version_is_not_made(desk: Desk) -> None:
    with pytest.raises(NotFound):
        start_preparation(desk, "nowhere", Order("60 g"))


@pytest.mark.parametrize(
    ("order", "key"),
    [
        (Order("0.1 mg"), "scaling.finding.under_minimum"),
        (Order("60 mL"), "scaling.preparation_density_missing"),
        (Order("0 g"), "scaling.nothing_to_make"),
        (Order("60"), "scaling.no_dose_unit"),
        (Order("60 u"), "quantity.unit.u"),
        (Order("60 g", "-3 %"), "quantity.number.negative"),
        (Order("60 g", choices=Choices(instruments={0: "Sold"})), "scaling.finding.no_instrument"),
    ],
)
def test_what_cannot_be_made_is_not_started(desk: Desk, order: Order, key: str) -> None:
    version = in_use(desk)
    with pytest.raises(Refusal) as caught:
        start_preparation(desk, version.id, order)
    assert caught.value.message.key == key
    assert list(desk.store.register()) == []


def test_what_is_too_small_is_started_with_its_aliquot(desk: Desk) -> None:
    made = start_preparation(desk, in_use(desk).id, Order("0.2 g"))
    line = json.loads(made.plan)["lines"][0]
    assert line["sub_plan"]["amount"] == line["to_measure"]
    assert [each["severity"] for each in line["findings"]] == ["needs a reason"]


def test_the_lot_at_hand_is_kept_with_the_plan(desk: Desk) -> None:
    choices = Choices(lots={0: Certificate(Fraction(80))})
    made = start_preparation(desk, in_use(desk).id, Order("60 g", choices=choices))
    line = json.loads(made.plan)["lines"][0]
    assert line["correction"]["factor"] == "1.25"
    assert line["required"] == {"amount": "3", "unit": "g"}
    assert line["to_measure"] == {"amount": "3.75", "unit": "g"}


def test_the_sample_pharmacys_preparations_are_marked(memory_store: Store) -> None:
    desk = a_desk(furnished(memory_store, a_house(sample=True)))
    assert start_preparation(desk, in_use(desk).id, Order("60 g")).sample


def test_the_houses_comma_is_read(memory_store: Store) -> None:
    desk = a_desk(furnished(memory_store, a_house(decimal_sign=",")))
    made = start_preparation(desk, in_use(desk).id, Order("2 x 0,05 kg"))
    assert made.fill.to("g") == amount("50 g")
    assert json.loads(made.plan)["to_make"]["amount"] == "0.1"


def test_doses_of_something_undivided_fill_one_container_with_their_amount(desk: Desk) -> None:
    version = in_use(desk, replace(a_content(), dose=amount("5 g")))
    made = start_preparation(desk, version.id, Order("12"))
    assert (made.containers, made.fill) == (1, amount("60 g"))


def test_dose_units_are_counted_into_their_container(desk: Desk) -> None:
    version = in_use(desk, replace(a_content(), units=20))
    made = start_preparation(desk, version.id, Order("2 x 12 pieces"))
    assert (made.containers, made.fill) == (2, amount("12 pieces"))
