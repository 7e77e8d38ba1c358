"""The book is the sum of its moves; it never stops the bench and never goes below zero."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from formulary.errors import Refusal
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density
from formulary.signing import Meaning
from formulary.stock.counting import CountedGood, Sort, pieces, pieces_left, runs_low
from formulary.stock.decanting import decanted, transfer
from formulary.stock.moves import (
    Cause,
    book,
    booked,
    controlled,
    counted,
    discrepancies,
    running_balance,
)
from tests.formulary.stock.shelf import NOW, TODAY, container, grams, move, signed, text

RECEIVED = move(grams(500), Cause.RECEIVED)
OIL = Density(Fraction("0.9"), "invented for this test")
TWO = (signed(Meaning.WITNESSED, "ana"), signed(Meaning.MADE, "ben"))


def test_what_is_on_hand_falls_by_what_was_weighed_and_wasted() -> None:
    moves = (RECEIVED, move(grams(-20)), move(Amount(Fraction(-500), "mg"), Cause.WASTED, "spilt"))
    assert book(moves, "g").on_hand == grams(Fraction("479.5"))


def test_a_liquid_weighed_from_a_bottle_falls_by_its_volume() -> None:
    moves = (move(Amount(Fraction(1), "L"), Cause.RECEIVED), move(grams(-90)))
    assert book(moves, "mL", OIL).on_hand == Amount(Fraction(900), "mL")


def test_what_no_density_converts_is_shown_apart_and_stops_nothing() -> None:
    moves = (move(Amount(Fraction(1), "L"), Cause.RECEIVED), move(grams(-90)))
    found = book(moves, "mL")
    assert (found.on_hand, found.apart) == (Amount(Fraction(1000), "mL"), (grams(-90),))
    assert booked(found.on_hand, move(grams(-5000)), "more") == (move(grams(-5000)),)


@pytest.mark.parametrize("cause", [Cause.WASTED, Cause.DESTROYED, Cause.COUNTED, Cause.CORRECTED])
def test_waste_counts_and_corrections_need_a_reason(cause: Cause) -> None:
    with pytest.raises(Refusal) as refused:
        move(grams(-1), cause, " ")
    assert "reason" in text(refused.value)


@pytest.mark.parametrize(
    ("cause", "amount"),
    [(Cause.WEIGHED, 5), (Cause.WEIGHED, 0), (Cause.RECEIVED, -5), (Cause.SAMPLED, 5)],
)
def test_a_move_that_goes_the_wrong_way_is_refused(cause: Cause, amount: int) -> None:
    with pytest.raises(Refusal) as refused:
        move(grams(amount), cause)
    assert cause.value in text(refused.value)


def test_weighing_more_than_the_book_holds_is_a_discrepancy_and_no_stop() -> None:
    taken = move(grams(-5), preparation_lot="K26-00042")
    more, kept = booked(grams(3), taken, "more")
    assert kept == taken
    assert (more.id, more.cause, more.amount) == ("more", Cause.DISCREPANCY, grams(2))
    assert more.preparation_lot == "K26-00042"
    assert discrepancies((RECEIVED, more, kept)) == (more,)


def test_weighing_what_the_book_holds_is_one_move() -> None:
    assert booked(grams(5), move(grams(-5)), "more") == (move(grams(-5)),)


def test_a_count_brings_the_book_to_what_was_found() -> None:
    difference = counted(grams(100), Amount(Fraction(98500), "mg"))
    found = move(difference, Cause.COUNTED, "yearly count")
    assert book((move(grams(100), Cause.RECEIVED), found), "g").on_hand == grams(Fraction("98.5"))
    assert discrepancies((found,)) == (found,)


def test_a_count_that_agrees_is_no_discrepancy() -> None:
    agrees = move(counted(grams(100), grams(100)), Cause.COUNTED, "yearly count")
    assert discrepancies((agrees,)) == ()


def test_nobody_counts_less_than_nothing() -> None:
    with pytest.raises(Refusal, match="below_zero"):
        counted(grams(1), grams(-1))


def test_a_controlled_substance_needs_two_people() -> None:
    one = move(grams(-1), signatures=(TWO[0], TWO[0]))
    with pytest.raises(Refusal) as refused:
        controlled(grams(10), one)
    assert "two signatures" in text(refused.value)
    with pytest.raises(Refusal, match="two_signatures"):
        controlled(grams(10), move(grams(-1)))
    both = replace(one, signatures=TWO)
    assert controlled(grams(10), both) == both


def test_who_works_alone_says_why_for_a_controlled_substance() -> None:
    alone = replace(TWO[1], alone_because="Saturday shift")
    assert controlled(grams(10), move(grams(-1), signatures=(alone,))).signatures == (alone,)


def test_a_controlled_substance_stops_the_bench_where_the_book_is_short() -> None:
    with pytest.raises(Refusal) as refused:
        controlled(grams(1), move(grams(-3), signatures=TWO))
    assert "1 g" in text(refused.value)


def test_the_running_balance_stands_beside_each_move() -> None:
    moves = (RECEIVED, move(grams(-20)), move(grams(-30)))
    assert [after for _, after in running_balance(moves, "g")] == [
        grams(500),
        grams(480),
        grams(450),
    ]


def test_a_new_container_takes_over_lot_identity_and_clock() -> None:
    source = container(1, opened_on=TODAY)
    target = decanted(source, container(2, identity=None), ())
    assert (target.identity, target.opened_on) == (source.identity, TODAY)
    assert target.filled_from == source.number


@pytest.mark.parametrize(
    ("source", "target", "moves", "said"),
    [
        (container(1), container(2), (RECEIVED,), "Remnants"),
        (container(1), container(1), (), "back"),
        (container(2, filled_from=container(1).number), container(1), (), "back"),
        (container(1), container(2, emptied_on=TODAY), (), "new and empty"),
        (container(1), container(2, lot_id="lot-2"), (), "another lot"),
    ],
)
def test_remnants_are_never_merged_or_poured_back(
    source: object, target: object, moves: object, said: str
) -> None:
    with pytest.raises(Refusal) as refused:
        decanted(source, target, moves)  # type: ignore[arg-type]  # a table of cases
    assert said in text(refused.value)


def test_a_transfer_leaves_one_container_and_arrives_in_the_other() -> None:
    out = move(grams(-50), Cause.TRANSFERRED)
    left, arrived = transfer(container(1), container(2), out, "arriving")
    assert (left, arrived.amount, arrived.container_id) == (out, grams(50), "jar-2")


def test_a_transfer_starts_with_what_leaves() -> None:
    with pytest.raises(ValueError, match="leaves"):
        transfer(container(1), container(2), move(grams(50), Cause.TRANSFERRED), "arriving")


def test_jars_and_labels_are_counted_by_the_piece() -> None:
    jars = CountedGood("good", "Jar 60 g", Sort.CONTAINER, least=50)
    moves = (move(pieces(100), Cause.RECEIVED), move(pieces(-3)), move(pieces(-60)))
    assert pieces_left(moves) == 37
    assert runs_low(jars, 37)
    assert not runs_low(jars, 50)


def test_what_was_measured_by_volume_falls_from_a_mass() -> None:
    moves = (RECEIVED, move(Amount(Fraction(-100), "mL")))
    assert book(moves, "g", OIL).on_hand == grams(410)


def test_a_move_knows_its_offset() -> None:
    with pytest.raises(ValueError, match="offset"):
        move(grams(-1), at=NOW.replace(tzinfo=None))
