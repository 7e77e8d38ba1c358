"""What every store keeps to about stock: what is found, what stays, and numbers given once."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from formulary.errors import Conflict, Forbidden, NotFound, Refusal
from formulary.ingredient import Ingredient
from formulary.quantity.amount import Concentration
from formulary.records.rules import LARGEST_FILE
from formulary.signing import Meaning
from formulary.stock.container import StockContainer
from formulary.stock.counting import CountedGood, Sort, pieces
from formulary.stock.lot import Source, Status, SupplyLot
from formulary.stock.moves import Cause, StockMove
from formulary.stock.recall import Attempt, Contact, Outcome, Reach, Recall
from formulary.stock.shelf import Level
from formulary.store import Record, Store
from tests.contract.test_store_contract import put
from tests.formulary.stock.shelf import (
    ACCEPTED,
    FAILED,
    IDENTIFIED,
    NOW,
    QUARANTINED,
    container,
    grams,
    move,
    signed,
)
from tests.helpers.kept import ACT

ZINC = Ingredient("zinc oxide", "Zinc oxide")
STRONG = replace(
    QUARANTINED,
    id="lot-2",
    source=Source.CONCENTRATE,
    strength=Concentration(grams(10).number, "% w/w"),
)
LABELS = CountedGood("labels", "Labels 70 x 35 mm", Sort.LABELS, least=200)
RECALL = Recall(
    "recall-1",
    ("lot-1",),
    "wrong salt",
    signed(Meaning.DECIDED),
    Reach(("lot-1",), ("jar-1",), (), ("m-1",), ()),
    (Contact("x-1", False, ("m-1/1",)),),
)
TRIED = Attempt(NOW, "ana", "Ana", Outcome.NO_ANSWER)


def shelved(store: Store, *records: Record) -> None:
    for record in (ZINC, QUARANTINED, container(1), *records):
        put(store, record)


@pytest.mark.parametrize(
    "record",
    [
        STRONG,
        ACCEPTED,
        container(2, identity=FAILED, opened_on=date(2026, 2, 1)),
        move(grams(-5), preparation_lot="K26-00001", signatures=(signed(Meaning.WITNESSED),)),
        LABELS,
        Level("level-1", "zinc oxide", grams(100)),
        RECALL,
    ],
    ids=lambda record: type(record).__name__,
)
def test_a_record_of_stock_comes_back_as_it_was_put(store: Store, record: Record) -> None:
    shelved(store)
    held = store.get(type(record), record.id)
    kept = put(store, replace(record, revision=0 if held is None else held.revision))
    assert kept == replace(record, revision=kept.revision) == store.get(type(record), record.id)


def test_lots_containers_and_moves_are_found_by_what_is_asked_for(store: Store) -> None:
    shelved(store, STRONG, container(2, lot_id="lot-2"))
    first = put(store, move(grams(-5), id="m-1", preparation_lot="K26-00001"))
    put(store, move(grams(-5), id="m-2", container_id="jar-2"))
    assert [each.id for each in store.having(SupplyLot, number="ZN-4711")] == ["lot-1", "lot-2"]
    assert len(store.having(SupplyLot, status="quarantine", ingredient_id="zinc oxide")) == 2
    assert [each.id for each in store.having(StockContainer, lot_id="lot-2")] == ["jar-2"]
    assert list(store.having(StockMove, preparation_lot="K26-00001")) == [first]
    assert list(store.having_any(StockMove, "container_id", {"jar-1", "jar-9"})) == [first]
    assert list(store.having_any(StockMove, "container_id", ())) == []


def test_only_some_fields_of_many_records_may_be_asked_for(store: Store) -> None:
    shelved(store)
    put(store, move(grams(-5), id="m-1", preparation_lot="K26-00001"))
    put(store, move(grams(-5), id="m-2", preparation_lot="K26-00002"))
    names, wanted = ("id", "cause"), ("K26-00002", "K26-00003")
    assert list(store.columns(StockMove, names, "preparation_lot", wanted)) == [("m-2", "weighed")]
    assert list(store.columns(StockMove, names, "preparation_lot", ())) == []


def test_more_may_be_asked_for_than_fits_one_question(store: Store) -> None:
    shelved(store)
    wanted = {f"lot-{number}" for number in range(1200)}
    assert [each.id for each in store.having_any(StockContainer, "lot_id", wanted)] == ["jar-1"]


@pytest.mark.parametrize(
    "record",
    [
        replace(QUARANTINED, ingredient_id="nothing"),
        container(lot_id="nothing"),
        move(grams(-1), container_id="nothing"),
        Level("level-1", "nothing", grams(1)),
    ],
)
def test_no_stock_is_kept_without_what_it_belongs_to(store: Store, record: Record) -> None:
    with pytest.raises(NotFound):
        put(store, record)


def test_counted_goods_have_moves_as_containers_do(store: Store) -> None:
    put(store, LABELS)
    came = move(pieces(500), Cause.RECEIVED, container_id="labels")
    assert put(store, came) == replace(came, revision=1)


def test_two_containers_never_have_one_number(store: Store) -> None:
    shelved(store)
    with pytest.raises(Conflict):
        put(store, container(1, id="another"))


def test_a_move_never_changes(store: Store) -> None:
    shelved(store)
    kept = put(store, move(grams(-5)))
    with pytest.raises(Forbidden):
        put(store, replace(kept, amount=grams(-4)))


def test_a_decision_on_a_lot_isn_t_unmade(store: Store) -> None:
    shelved(store)
    rejected = put(store, replace(ACCEPTED, status=Status.REJECTED, revision=1))
    for status in (Status.ACCEPTED, Status.QUARANTINE):
        with pytest.raises(Forbidden):
            put(store, replace(rejected, status=status))


def test_what_an_accepted_lot_was_decided_upon_stays(store: Store) -> None:
    shelved(store)
    kept = put(store, replace(ACCEPTED, revision=1))
    with pytest.raises(Forbidden):
        put(store, replace(kept, number="ZN-4712"))
    with pytest.raises(Forbidden):
        put(store, replace(kept, decision=signed(Meaning.ACCEPTED, "ben")))
    assert put(store, replace(kept, place="shelf 2")).place == "shelf 2"


def test_a_lot_in_quarantine_may_be_corrected(store: Store) -> None:
    shelved(store)
    kept = put(store, replace(QUARANTINED, number="ZN-4712", revision=1))
    assert [each.id for each in store.having(SupplyLot, number="ZN-4712")] == [kept.id]


@pytest.mark.parametrize(
    "changes",
    [
        {"number": "B-00009-1"},
        {"size": grams(100)},
        {"identity": None},
        {"opened_on": None},
        {"filled_from": ""},
    ],
)
def test_what_happened_to_a_container_has_happened(
    store: Store, changes: dict[str, object]
) -> None:
    shelved(store)
    used = container(2, opened_on=date(2026, 2, 1), filled_from="B-00001-X")
    kept = put(store, used)
    with pytest.raises(Forbidden):
        put(store, replace(kept, **changes))  # type: ignore[arg-type]  # fields by name


def test_a_failed_identity_check_is_never_followed_by_one_that_passes(store: Store) -> None:
    shelved(store)
    kept = put(store, container(2, identity=FAILED))
    with pytest.raises(Forbidden):
        put(store, replace(kept, identity=IDENTIFIED))


def test_attempts_are_added_to_a_recall_and_none_taken_away(store: Store) -> None:
    kept = put(store, RECALL)
    tried = put(store, replace(kept, contacts=(replace(kept.contacts[0], attempts=(TRIED,)),)))
    with pytest.raises(Forbidden):
        put(store, replace(tried, contacts=kept.contacts))
    with pytest.raises(Forbidden):
        put(store, replace(tried, reason="another"))
    closed = put(store, replace(tried, closed=signed(Meaning.DECIDED), finding="all reached"))
    with pytest.raises(Forbidden):
        put(store, replace(closed, finding="nobody reached"))


def test_container_numbers_are_given_once(store: Store) -> None:
    with store.writing(ACT, "receive") as transaction:
        assert transaction.allot_containers(3) == 1
        assert transaction.allot_containers(1) == 4
    with store.writing(ACT, "receive") as transaction:
        assert transaction.allot_containers(2) == 5


def test_numbers_of_a_delivery_that_failed_are_given_again(store: Store) -> None:
    with pytest.raises(NotFound), store.writing(ACT, "receive") as transaction:
        transaction.put(container(transaction.allot_containers(3)))
    with store.writing(ACT, "receive") as transaction:
        assert transaction.allot_containers(1) == 1


def test_a_file_comes_back_byte_by_byte(store: Store) -> None:
    data = bytes(range(256)) * 100
    with store.writing(ACT, "attach") as transaction:
        kept = transaction.keep_file(data)
        assert transaction.keep_file(data) == kept
    assert store.file(kept) == data
    assert store.file("0" * 64) is None


@pytest.mark.parametrize("data", [b"", b" " * (LARGEST_FILE + 1)])
def test_an_empty_or_huge_file_is_refused(store: Store, data: bytes) -> None:
    with pytest.raises(Refusal), store.writing(ACT, "attach") as transaction:
        transaction.keep_file(data)
