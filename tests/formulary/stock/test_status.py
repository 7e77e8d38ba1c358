"""Status is a gate: nothing passes it but by a signed decision."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from formulary.errors import Refusal
from formulary.signing import Meaning
from formulary.stock.lot import Halt, Source, Status, SupplyLot
from formulary.stock.status import accept, halt, lift, reject
from tests.formulary.stock.shelf import ACCEPTED, QUARANTINED, grams, signed, text

YES, NO = signed(Meaning.ACCEPTED), signed(Meaning.REJECTED)
DECIDED = signed(Meaning.DECIDED)


def test_a_lot_leaves_quarantine_under_a_signature() -> None:
    lot = accept(QUARANTINED, YES)
    assert (lot.status, lot.decision) == (Status.ACCEPTED, YES)


def test_a_lot_without_its_certificate_stays_in_quarantine() -> None:
    with pytest.raises(Refusal) as refused:
        accept(replace(QUARANTINED, attachment=None), YES)
    assert "certificate" in text(refused.value)


def test_tablets_need_no_certificate() -> None:
    bought = replace(QUARANTINED, source=Source.UNITS, strength=grams(1), attachment=None)
    assert accept(bought, YES).status is Status.ACCEPTED


def test_an_expired_lot_isnt_accepted() -> None:
    late = signed(Meaning.ACCEPTED, at=datetime(2027, 4, 1, 8, tzinfo=UTC))
    with pytest.raises(Refusal, match="expired"):
        accept(QUARANTINED, late)


def test_a_frozen_lot_isnt_accepted() -> None:
    frozen = halt(QUARANTINED, Halt.FROZEN, DECIDED, "seal broken")
    with pytest.raises(Refusal) as refused:
        accept(frozen, YES)
    assert "frozen" in text(refused.value)


@pytest.mark.parametrize("status", [Status.ACCEPTED, Status.REJECTED])
def test_nothing_is_accepted_twice_or_after_a_rejection(status: Status) -> None:
    with pytest.raises(Refusal) as refused:
        accept(replace(QUARANTINED, status=status), YES)
    assert status.value in text(refused.value)


@pytest.mark.parametrize("lot", [QUARANTINED, ACCEPTED])
def test_a_lot_is_rejected_with_a_reason_and_for_good(lot: SupplyLot) -> None:
    rejected = reject(lot, NO, "wrong odour")
    assert (rejected.status, rejected.decision_reason) == (Status.REJECTED, "wrong odour")
    with pytest.raises(Refusal):
        reject(rejected, NO, "again")


def test_a_rejection_needs_a_reason() -> None:
    with pytest.raises(Refusal) as refused:
        reject(QUARANTINED, NO, " ")
    assert "reason" in text(refused.value)


def test_a_signature_that_means_something_else_does_nothing() -> None:
    with pytest.raises(ValueError, match="rejected"):
        accept(QUARANTINED, NO)


def test_a_stop_lifted_gives_back_what_was_before() -> None:
    for lot in (QUARANTINED, ACCEPTED):
        assert lift(halt(lot, Halt.FROZEN, DECIDED, "fridge too warm"), DECIDED) == lot


def test_what_isnt_stopped_cant_be_lifted() -> None:
    with pytest.raises(Refusal, match="not_stopped"):
        lift(ACCEPTED, DECIDED)


def test_a_recall_outweighs_a_freeze() -> None:
    frozen = halt(ACCEPTED, Halt.FROZEN, DECIDED, "fridge too warm")
    recalled = halt(frozen, Halt.RECALLED, DECIDED, "supplier’s letter")
    assert recalled.stop is not None
    assert recalled.stop.halt is Halt.RECALLED
    assert halt(recalled, Halt.FROZEN, DECIDED, "fridge too warm") == recalled
