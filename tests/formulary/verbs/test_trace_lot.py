"""From a lot to the jars and patients, from a jar back to its lots, and a recall that acts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.desk import Desk
from formulary.errors import Forbidden, NotFound, Refusal
from formulary.people import Identity, Part
from formulary.signing import Meaning
from formulary.stock.container import StockContainer
from formulary.stock.lot import Halt, Source, SupplyLot
from formulary.stock.recall import Outcome, Recall
from formulary.tracing import Node, Sort, Trace
from formulary.verbs.decant_stock import decant_stock
from formulary.verbs.look_up_stock import lot_with
from formulary.verbs.open_container import open_container
from formulary.verbs.recall_lot import (
    Call,
    ToCall,
    close_recall,
    note_call,
    recall_lot,
    recipients,
)
from formulary.verbs.trace_lot import trace_lot
from tests.formulary.stock.shelf import signed
from tests.helpers.desks import CID, PIN, at
from tests.helpers.kept import ACT
from tests.helpers.stocked import a_lot, grams, made, ready, received, weigh


def names(nodes: tuple[Node, ...]) -> set[str]:
    return {node.name or node.id for node in nodes}


@pytest.fixture
def base(desk: Desk) -> SupplyLot:
    """Weigh one lot into a base, the base into a cream for a patient, and fill some over."""
    lot, (jar,) = ready(desk)
    made(desk, "m-1", "K26-00001")
    weigh(desk, jar, grams(20), "K26-00001")
    _as_stock(desk)
    small = decant_stock(desk, jar.id, grams(50))
    made(desk, "m-2", "K26-00002", patient=_patient(desk))
    weigh(desk, small, grams(5), "K26-00002")
    made(desk, "m-3", "K26-00003")
    weigh(desk, _of_base(), grams(10), "K26-00003")
    return lot


def _patient(desk: Desk) -> str:
    with desk.store.writing(ACT, "keep") as writing:
        return writing.put(Identity("x-1", Part.PATIENT, "Quentin Zimt")).id


def _as_stock(desk: Desk) -> None:
    """Let the first preparation become a lot, as its release does."""
    lot = a_lot("K26-00001", "lot-base", source=Source.INTERMEDIATE, made_as="m-1", supplier="")
    with desk.store.writing(ACT, "release") as writing:
        writing.put(replace(lot, decision=signed(Meaning.RELEASED)))
        writing.put(_of_base())


def _of_base() -> StockContainer:
    return StockContainer("jar-base", "B-90001-8", "lot-base", grams(50))


def test_a_lot_leads_through_a_base_made_here_to_every_jar_and_patient(
    desk: Desk, base: SupplyLot
) -> None:
    forward, backward = trace_lot(desk.store, base.number)
    assert names(forward.preparations) == {"K26-00001", "K26-00002", "K26-00003"}
    assert {"K26-00002/1", "K26-00003/2"} < names(forward.jars)
    assert [(each.recipient.id, names(each.jars)) for each in forward.to_call] == [
        ("x-1", {"K26-00002/1", "K26-00002/2"})
    ]
    assert names(backward.of(Sort.SUPPLIER)) == {"Tidewater Fine Chemicals"}


@pytest.mark.usefixtures("base")
def test_a_jar_leads_back_to_its_lots_supplier_and_weighing_people(desk: Desk) -> None:
    _, backward = trace_lot(desk.store, "K26-00003/2")
    assert names(backward.of(Sort.LOT)) == {"K26-00001", "ZN-4711"}
    assert names(backward.supplier_lots) == {"ZN-4711"}
    assert names(backward.of(Sort.PERSON)) == {"Ada Berg"}
    assert names(backward.preparations) == {"K26-00003", "K26-00001"}


@pytest.mark.usefixtures("base")
def test_a_container_leads_to_what_was_filled_over_from_it(desk: Desk) -> None:
    forward, backward = trace_lot(desk.store, "B-00001-X")
    assert names(forward.of(Sort.CONTAINER)) > {"B-00002-8"}
    assert "K26-00002" in names(forward.preparations)
    assert names(backward.of(Sort.LOT)) == {"ZN-4711"}


@pytest.mark.usefixtures("base")
def test_what_didn_t_touch_the_lot_isn_t_in_its_trace(desk: Desk) -> None:
    _, (other,) = ready(desk, a_lot("ZN-4712", "lot-9"))
    made(desk, "m-9", "K26-00009")
    weigh(desk, other, grams(5), "K26-00009")

    def preparations(found: tuple[Trace, Trace]) -> set[str]:
        return names(found[0].preparations)

    assert "K26-00009" not in preparations(trace_lot(desk.store, "ZN-4711"))
    assert preparations(trace_lot(desk.store, "zn 4712")) == {"K26-00009"}


@pytest.mark.parametrize("typed", ["", "K26-99999", "B-00042-3", "nothing"])
def test_what_is_no_number_of_this_house_can_t_be_traced(desk: Desk, typed: str) -> None:
    with pytest.raises(NotFound):
        trace_lot(desk.store, typed)


def test_a_recall_freezes_every_delivery_and_what_was_made_of_it(
    desk: Desk, base: SupplyLot
) -> None:
    second = received(desk, a_lot(lot_id="lot-2")).lot
    recall = recall_lot(desk, "ZN 4711", PIN, "wrong salt at the repacker")
    assert set(recall.lot_ids) == {base.id, second.id}
    assert set(recall.reach.open_work) == {"m-1", "m-2", "m-3"}
    assert [each.recipient_id for each in recall.contacts] == ["x-1"]
    for lot_id in (base.id, second.id, "lot-base"):
        stop = lot_with(desk.store, lot_id).stop
        assert stop is not None
        assert stop.halt is Halt.RECALLED
    with pytest.raises(Refusal):
        open_container(desk, _of_base().id)


def test_a_practice_recall_finds_the_same_and_freezes_nothing(desk: Desk, base: SupplyLot) -> None:
    recall = recall_lot(desk, base.number, PIN, "practice", practice=True)
    assert recall.practice
    assert [each.recipient_id for each in recall.contacts] == ["x-1"]
    assert lot_with(desk.store, base.id).stop is None


def test_whoever_calls_is_told_the_names_and_nobody_else(desk: Desk, base: SupplyLot) -> None:
    recall = recall_lot(desk, base.number, PIN, "wrong salt")
    assert recipients(desk, recall) == {"x-1": ToCall("Quentin Zimt")}
    seen = desk.store.history(limit=1000)[-1]
    assert (seen.verb, seen.act.person) == ("view_patient", "Ada Berg")
    assert "Quentin" not in seen.details
    with pytest.raises(Forbidden):
        recipients(replace(desk, signed_in=False), recall)
    entries = desk.store.history(limit=1000)
    assert not any("Quentin" in entry.details for entry in entries)


def test_only_a_pharmacist_recalls_and_only_what_is_here(desk: Desk, base: SupplyLot) -> None:
    with pytest.raises(Forbidden):
        recall_lot(at(desk, CID), base.number, PIN, "wrong salt")
    with pytest.raises(NotFound):
        recall_lot(desk, "ZN-0000", PIN, "wrong salt")


def test_a_recall_stays_open_until_everybody_is_reached(desk: Desk, base: SupplyLot) -> None:
    recall = recall_lot(desk, base.number, PIN, "wrong salt")
    note_call(at(desk, CID), recall.id, "x-1", Call(Outcome.NO_ANSWER))
    with pytest.raises(Refusal):
        close_recall(desk, recall.id, PIN, "all reached")
    note_call(
        at(desk, CID),
        recall.id,
        "x-1",
        Call(Outcome.RETURNED, " ".join(recall.contacts[0].jar_ids)),
    )
    closed = close_recall(desk, recall.id, PIN, "all reached, both jars back")
    assert closed.closed is not None
    assert desk.store.every(Recall) == [closed]
    with pytest.raises(Refusal):
        note_call(desk, recall.id, "x-1", Call(Outcome.REACHED))
