"""Stock from the delivery to the last gram, as people at the desk do it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import BadText, Conflict, Forbidden, NotFound, Refusal
from formulary.formula.content import Period, Span
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.signing import Meaning
from formulary.stock.container import StockContainer, lasts_until, obstacle
from formulary.stock.counting import CountedGood, Sort
from formulary.stock.lot import Source, Status, SupplyLot
from formulary.stock.moves import Cause, StockMove
from formulary.stock.shelf import Holding, Level
from formulary.verbs.attach_certificate import attach_certificate, certificate_file
from formulary.verbs.change_stock import (
    correct_stock,
    count_stock,
    destroy_stock,
    empty_container,
    take_sample,
    waste_stock,
)
from formulary.verbs.complete_lot import complete_lot
from formulary.verbs.count_goods import (
    count_goods,
    goods_left,
    receive_goods,
    save_goods,
    use_goods,
)
from formulary.verbs.decant_stock import decant_stock
from formulary.verbs.decide_lot import accept_lot, reject_lot
from formulary.verbs.halt_lot import freeze_lot, lift_halt
from formulary.verbs.identify_container import identify_container
from formulary.verbs.issue_shelf_labels import issue_shelf_labels
from formulary.verbs.look_up_stock import container_numbered, holding_of, holdings, lot_with
from formulary.verbs.open_container import open_container
from formulary.verbs.receive_lot import receive_lot
from formulary.verbs.set_level import set_level
from tests.helpers.desks import ADA, BEN, CID, PIN, at
from tests.helpers.stocked import PDF, ZINC, a_lot, grams, keep_zinc, ready, received, weigh

LateAct = Callable[[Desk, SupplyLot, Holding], object]

ON_LOTS: tuple[LateAct, ...] = (
    lambda desk, lot, _: accept_lot(at(desk, ADA), lot.id, PIN, seen=lot.revision),
    lambda desk, lot, _: reject_lot(at(desk, ADA), lot.id, PIN, "wet", seen=lot.revision),
    lambda desk, lot, _: freeze_lot(desk, lot.id, PIN, "lumps", seen=lot.revision),
    lambda desk, lot, _: lift_halt(at(desk, ADA), lot.id, PIN, "dry", seen=lot.revision),
    lambda desk, lot, _: attach_certificate(desk, lot.id, "a.pdf", PDF, seen=lot.revision),
)
ON_CONTAINERS: tuple[LateAct, ...] = (
    lambda desk, _, held: identify_container(
        desk, held.container.id, PIN, "melting point", passed=True, seen=held
    ),
    lambda desk, _, held: open_container(desk, held.container.id, seen=held),
    lambda desk, _, held: count_stock(desk, held.container.id, grams(490), "count", seen=held),
    lambda desk, _, held: correct_stock(desk, held.container.id, grams(-1), "slip", seen=held),
    lambda desk, _, held: waste_stock(desk, held.container.id, grams(1), "spilt", seen=held),
    lambda desk, _, held: take_sample(desk, held.container.id, grams(1), "test", seen=held),
    lambda desk, _, held: decant_stock(desk, held.container.id, grams(1), seen=held),
    lambda desk, _, held: empty_container(desk, held.container.id, "empty", seen=held),
    lambda desk, _, held: destroy_stock(desk, held.container.id, "old", seen=held),
)


def too_late(desk: Desk, act: LateAct, lot: SupplyLot, held: Holding) -> str:
    """Return what an act on stock that changed meanwhile is told; it leaves nothing."""
    before = list(desk.store.every(StockMove)), lot_with(desk.store, lot.id)
    with pytest.raises(Conflict) as late:
        act(desk, lot, held)
    assert (list(desk.store.every(StockMove)), lot_with(desk.store, lot.id)) == before
    return Catalogue().text(late.value.message).replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize("act", ON_LOTS)
def test_nobody_decides_on_a_lot_that_somebody_changed_meanwhile(desk: Desk, act: LateAct) -> None:
    came = received(desk)
    (held,) = holdings(desk.store)
    freeze_lot(at(desk, BEN), came.lot.id, PIN, "a call from the maker")
    said = too_late(desk, act, came.lot, held)
    assert "Lot ZN-4711 was changed in the meantime by Ben Cole, 10 Mar 2026" in said


@pytest.mark.parametrize("act", ON_CONTAINERS)
def test_nobody_counts_on_a_book_that_fell_meanwhile(desk: Desk, act: LateAct) -> None:
    lot, _ = ready(desk)
    (held,) = holdings(desk.store)
    count_stock(at(desk, BEN), held.container.id, grams(495), "weighed back", seen=held)
    said = too_late(desk, act, lot, held)
    assert f"{held.container.number} was changed in the meantime by Ben Cole, 10 Mar 2026" in said


def on_hand(desk: Desk, container: StockContainer) -> Amount:
    return holding_of(desk.store, container).on_hand


def reason_of(refused: pytest.ExceptionInfo[Refusal]) -> str:
    return refused.value.message.key


def test_a_delivery_comes_into_quarantine_in_numbered_containers(desk: Desk) -> None:
    came = received(desk, sizes=(500, 500, 250))
    assert came.lot.status is Status.QUARANTINE
    assert [each.number for each in came.containers] == ["B-00001-X", "B-00002-8", "B-00003-6"]
    assert [each.on_hand for each in holdings(desk.store)] == [grams(500), grams(500), grams(250)]
    assert came.doubts == ()


def test_a_lot_that_claims_to_be_accepted_comes_into_quarantine_all_the_same(desk: Desk) -> None:
    came = received(desk, a_lot(status=Status.ACCEPTED))
    assert lot_with(desk.store, came.lot.id).status is Status.QUARANTINE


def test_a_second_delivery_with_another_date_is_doubted(desk: Desk) -> None:
    received(desk)
    other = replace(a_lot(lot_id="lot-2").expiry, last_day=date(2027, 4, 30))
    again = received(desk, a_lot(lot_id="lot-2", expiry=other))
    assert [each.said.key for each in again.doubts] == ["stock.receipt.other_date"]


@pytest.mark.parametrize("sizes", [(), (0,), (500,) * 201])
def test_a_delivery_without_containers_or_with_far_too_many_is_refused(
    desk: Desk, sizes: tuple[int, ...]
) -> None:
    with pytest.raises(Refusal):
        received(desk, sizes=sizes)
    assert holdings(desk.store) == ()


def test_what_is_made_here_isn_t_received(desk: Desk) -> None:
    keep_zinc(desk.store)
    with pytest.raises(Refusal) as refused:
        receive_lot(desk, a_lot(source=Source.INTERMEDIATE), [grams(5)])
    assert reason_of(refused) == "stock.receipt.made_here"


def test_a_certificate_is_kept_with_its_hash_and_comes_back(desk: Desk) -> None:
    came = received(desk)
    lot = attach_certificate(desk, came.lot.id, "..\\..//C:\\scans\\zn 4711.pdf", PDF)
    assert lot.attachment is not None
    assert (lot.attachment.name, lot.attachment.media_type) == ("zn 4711.pdf", "application/pdf")
    assert certificate_file(desk.store, lot) == PDF


@pytest.mark.parametrize("data", [b"", b"MZ\x90\x00", b"<html>"])
def test_what_is_no_document_isn_t_attached(desk: Desk, data: bytes) -> None:
    came = received(desk)
    with pytest.raises(Refusal):
        attach_certificate(desk, came.lot.id, "zn.pdf", data)
    with pytest.raises(NotFound):
        certificate_file(desk.store, lot_with(desk.store, came.lot.id))


def test_maker_and_grade_are_filled_in_until_the_lot_is_decided_upon(desk: Desk) -> None:
    came = received(desk, a_lot(maker="", grade="technical"))
    lot = complete_lot(desk, came.lot.id, " Norrland Oxides ", "")
    assert (lot.maker, lot.grade) == ("Norrland Oxides", "technical")
    assert complete_lot(desk, lot.id, "", "Ph. Eur.").maker == "Norrland Oxides"
    with pytest.raises(BadText):
        complete_lot(desk, lot.id, " ", "")
    with pytest.raises(Conflict):
        complete_lot(desk, lot.id, "Another", "", seen=came.lot.revision)
    attach_certificate(desk, lot.id, "zn.pdf", PDF)
    accept_lot(at(desk, ADA), lot.id, PIN)
    with pytest.raises(Forbidden):
        complete_lot(desk, lot.id, "Another", "")


def test_a_pharmacist_accepts_a_lot_with_a_signature_bound_to_what_it_was(desk: Desk) -> None:
    lot, _ = ready(desk)
    assert lot.status is Status.ACCEPTED
    assert lot.decision is not None
    assert (lot.decision.person, lot.decision.meaning) == ("Ada Berg", Meaning.ACCEPTED)
    assert len(lot.decision.content_hash) == 64


def test_a_lot_isn_t_accepted_without_its_certificate_or_with_a_wrong_pin(desk: Desk) -> None:
    came = received(desk)
    with pytest.raises(Refusal) as refused:
        accept_lot(desk, came.lot.id, PIN)
    assert reason_of(refused) == "stock.status.no_certificate"
    attach_certificate(desk, came.lot.id, "zn.pdf", PDF)
    with pytest.raises(Forbidden):
        accept_lot(desk, came.lot.id, "0000")
    assert lot_with(desk.store, came.lot.id).status is Status.QUARANTINE


def test_the_certificate_of_an_accepted_lot_isn_t_exchanged(desk: Desk) -> None:
    lot, _ = ready(desk)
    with pytest.raises(Forbidden):
        attach_certificate(desk, lot.id, "another.pdf", PDF + b" another")


@pytest.mark.parametrize(
    "act",
    [
        lambda desk, lot: accept_lot(desk, lot, PIN),
        lambda desk, lot: reject_lot(desk, lot, PIN, "broken seal"),
        lambda desk, lot: lift_halt(desk, lot, PIN, "looked into"),
    ],
)
def test_a_technician_decides_on_no_lot(desk: Desk, act: Callable[[Desk, str], object]) -> None:
    came = received(desk)
    with pytest.raises(Forbidden):
        act(at(desk, CID), came.lot.id)


def test_a_rejected_lot_stays_rejected_and_its_containers_stay_put(desk: Desk) -> None:
    lot, (jar,) = ready(desk)
    rejected = reject_lot(desk, lot.id, PIN, "discoloured")
    assert rejected.decision_reason == "discoloured"
    with pytest.raises(Refusal):
        accept_lot(desk, lot.id, PIN)
    with pytest.raises(Refusal):
        open_container(desk, jar.id)


def test_a_technician_freezes_a_lot_and_a_pharmacist_lifts_that(desk: Desk) -> None:
    lot, (jar,) = ready(desk)
    freeze_lot(at(desk, CID), lot.id, PIN, "smells odd")
    with pytest.raises(Refusal) as refused:
        open_container(desk, jar.id)
    assert reason_of(refused) == "stock.obstacle.frozen"
    with pytest.raises(Refusal):
        lift_halt(desk, lot.id, PIN, " ")
    lift_halt(desk, lot.id, PIN, "retested")
    assert open_container(desk, jar.id)[0].opened_on == desk.today
    assert desk.store.history(limit=1000)[-2].act.reason == "retested"


def test_each_container_is_identified_by_a_method_and_a_signature(desk: Desk) -> None:
    came = received(desk, sizes=(500, 500))
    with pytest.raises(Refusal):
        identify_container(desk, came.containers[0].id, PIN, " ", passed=True)
    checked = identify_container(
        at(desk, CID), came.containers[0].id, PIN, "residue on ignition", passed=True
    )
    assert checked.identity is not None
    assert checked.identity.signature.person == "Cid Dane"
    assert [each.container.identity is None for each in holdings(desk.store)] == [False, True]


def test_a_container_that_failed_its_check_is_never_used(desk: Desk) -> None:
    lot, _ = ready(desk)
    second = received(desk, a_lot(lot_id="lot-2")).containers[0]
    failed = identify_container(desk, second.id, PIN, "melting point", passed=False)
    said = obstacle(failed, replace(lot, id="lot-2"), desk.today)
    assert said is not None
    assert said.key == "stock.obstacle.wrong_identity"
    with pytest.raises(Refusal):
        identify_container(desk, second.id, PIN, "melting point", passed=True)


def test_opening_starts_the_life_once_open_and_warns_of_a_second_one(desk: Desk) -> None:
    lot, (first, second) = ready(desk, sizes=(500, 500))
    opened, nothing = open_container(desk, first.id)
    assert (opened.opened_on, nothing) == (desk.today, ())
    _, found = open_container(desk, second.id)
    assert [each.said.key for each in found] == ["stock.finding.second_opened"]
    limited = replace(opened, in_use=Period(10, Span.DAYS))
    assert lasts_until(limited, lot).result == desk.today + timedelta(days=9)


def test_a_container_is_found_by_its_number_however_it_is_typed(desk: Desk) -> None:
    jar = received(desk).containers[0]
    for typed in (jar.number, " b 00001 x ", "00001X"):
        assert container_numbered(desk.store, typed) == jar
    with pytest.raises(BadText):
        container_numbered(desk.store, "B-00001-6")
    with pytest.raises(NotFound):
        container_numbered(desk.store, "B-00002-8")


def test_the_book_falls_by_what_is_weighed_and_follows_a_count(desk: Desk) -> None:
    _, (jar,) = ready(desk)
    weigh(desk, jar, grams(120))
    assert on_hand(desk, jar) == grams(380)
    assert count_stock(desk, jar.id, grams(377), "month's count").on_hand == grams(377)
    assert correct_stock(desk, jar.id, grams(3), "clinging to the lid").on_hand == grams(380)
    assert take_sample(desk, jar.id, grams(5), "retained").on_hand == grams(375)
    causes = [each.cause for each in desk.store.having(StockMove, container_id=jar.id)]
    assert causes == [
        Cause.RECEIVED,
        Cause.WEIGHED,
        Cause.COUNTED,
        Cause.CORRECTED,
        Cause.SAMPLED,
    ]


def test_more_taken_than_the_book_holds_is_a_discrepancy_and_not_refused(desk: Desk) -> None:
    _, (jar,) = ready(desk, sizes=(5,))
    assert take_sample(desk, jar.id, grams(7), "retained").on_hand == grams(0)
    moves = desk.store.having(StockMove, container_id=jar.id)
    assert [(each.cause, each.amount) for each in moves[1:]] == [
        (Cause.DISCREPANCY, grams(2)),
        (Cause.SAMPLED, grams(-7)),
    ]


@pytest.mark.parametrize("reason", ["", "  "])
def test_a_change_needs_its_reason(desk: Desk, reason: str) -> None:
    _, (jar,) = ready(desk)
    acts: tuple[Callable[[], object], ...] = (
        lambda: count_stock(desk, jar.id, grams(1), reason),
        lambda: correct_stock(desk, jar.id, grams(1), reason),
        lambda: destroy_stock(desk, jar.id, reason),
    )
    for act in acts:
        with pytest.raises(Refusal) as refused:
            act()
        assert reason_of(refused) == "stock.reason_missing"
    assert on_hand(desk, jar) == grams(500)


def test_a_correction_never_takes_the_book_below_nothing(desk: Desk) -> None:
    _, (jar,) = ready(desk)
    with pytest.raises(Refusal):
        correct_stock(desk, jar.id, grams(-501), "typed wrongly")


def test_what_is_destroyed_or_used_up_leaves_the_shelf(desk: Desk) -> None:
    _, (first, second) = ready(desk, sizes=(500, 500))
    destroy_stock(desk, first.id, "expired")
    weigh(desk, second, grams(498))
    empty_container(desk, second.id, "the last was clinging to the walls")
    assert holdings(desk.store) == ()
    assert on_hand(desk, first) == on_hand(desk, second) == grams(0)
    with pytest.raises(Refusal) as refused:
        count_stock(desk, first.id, grams(1), "found again")
    assert reason_of(refused) == "stock.obstacle.emptied"


def test_stock_moves_into_a_new_container_with_its_identity_and_clock(desk: Desk) -> None:
    _, (jar,) = ready(desk)
    open_container(desk, jar.id)
    small = decant_stock(desk, jar.id, grams(100), "Bench")
    assert (small.number, small.filled_from, small.place) == ("B-00002-8", jar.number, "Bench")
    assert (small.opened_on, small.identity) == (desk.today, jar.identity)
    assert (on_hand(desk, jar), on_hand(desk, small)) == (grams(400), grams(100))
    with pytest.raises(Refusal):
        decant_stock(desk, small.id, grams(101))


def test_nothing_is_filled_over_from_quarantine(desk: Desk) -> None:
    jar = received(desk).containers[0]
    with pytest.raises(Refusal):
        decant_stock(desk, jar.id, grams(100))


def test_jars_and_labels_are_counted_by_the_piece(desk: Desk) -> None:
    jars = save_goods(desk, CountedGood("g-1", "Jar 60 mL", Sort.CONTAINER, least=50))
    assert receive_goods(desk, jars.id, 200) == 200
    assert use_goods(desk, jars.id, 3, "for K26-00001") == 197
    assert count_goods(desk, jars.id, 195, "month's count") == 195
    with pytest.raises(Refusal) as refused:
        use_goods(desk, jars.id, 196, "for K26-00002")
    assert refused.value.message.parameters == (("n", 195), ("name", "Jar 60 mL"))
    assert goods_left(desk.store, jars.id) == 195


def test_goods_have_a_name_of_their_own(desk: Desk) -> None:
    save_goods(desk, CountedGood("g-1", "Jar 60 mL", Sort.CONTAINER))
    for name in ("", "jar 60 ML"):
        with pytest.raises(Refusal):
            save_goods(desk, CountedGood("g-2", name, Sort.CONTAINER))


def test_the_least_wanted_is_kept_once_for_each_kind_of_source(desk: Desk) -> None:
    keep_zinc(desk.store)
    set_level(desk, ZINC.id, grams(100))
    set_level(desk, ZINC.id, grams(250))
    set_level(desk, ZINC.id, grams(30), Source.CONCENTRATE)
    kept = desk.store.having(Level, ingredient_id=ZINC.id)
    assert [(each.source, each.least) for each in kept] == [
        (Source.SUBSTANCE, grams(250)),
        (Source.CONCENTRATE, grams(30)),
    ]


def test_a_least_amount_that_was_changed_meanwhile_says_who_was_quicker(desk: Desk) -> None:
    keep_zinc(desk.store)
    set_level(desk, ZINC.id, grams(100), seen=0)
    with pytest.raises(Conflict) as late:
        set_level(at(desk, BEN), ZINC.id, grams(250), seen=0)
    assert dict(late.value.message.parameters)["by"] == desk.person.name
    (kept,) = desk.store.having(Level, ingredient_id=ZINC.id)
    assert kept.least == grams(100)
    assert set_level(at(desk, BEN), ZINC.id, grams(250), seen=kept.revision).least == grams(250)


LATE_WITH_GOODS: tuple[Callable[[Desk], object], ...] = (
    lambda desk: receive_goods(desk, "g-1", 50, seen=200),
    lambda desk: use_goods(desk, "g-1", 3, "spoiled", seen=200),
    lambda desk: count_goods(desk, "g-1", 200, "month's count", seen=200),
)


@pytest.mark.parametrize("act", LATE_WITH_GOODS)
def test_goods_that_moved_meanwhile_say_who_moved_them_and_what_is_left(
    desk: Desk, act: Callable[[Desk], object]
) -> None:
    save_goods(desk, CountedGood("g-1", "Jar 60 mL", Sort.CONTAINER))
    receive_goods(desk, "g-1", 200, seen=0)
    use_goods(desk, "g-1", 20, "for K26-00001", seen=200)
    with pytest.raises(Conflict) as late:
        act(at(desk, BEN))
    assert dict(late.value.message.parameters)["by"] == desk.person.name
    assert goods_left(desk.store, "g-1") == 180


def test_labels_of_containers_are_printed_and_on_record(desk: Desk) -> None:
    _, jars = ready(desk, sizes=(500, 250))
    delivered: list[int] = []
    issued = issue_shelf_labels(
        desk, [each.id for each in jars], "62x29", lambda pages, _: delivered.append(len(pages))
    )
    assert delivered == [2]
    assert [each.number for each in issued] == [each.number for each in jars]
    entry = desk.store.history(limit=1000)[-1]
    assert entry.verb == "issue_shelf_labels"
    assert "B-00001-X, B-00002-8" in entry.details


def test_a_label_that_can_t_be_delivered_is_not_on_record(desk: Desk) -> None:
    _, (jar,) = ready(desk)
    before = len(desk.store.history(limit=1000))

    def fail(*_: object) -> None:
        raise Refusal(message("stock.look_up.nothing_to_label"))

    with pytest.raises(Refusal):
        issue_shelf_labels(desk, [jar.id], "62x29", fail)
    with pytest.raises(Refusal):
        issue_shelf_labels(desk, [], "62x29", fail)
    assert len(desk.store.history(limit=1000)) == before
