"""What must hold of stock, whatever is weighed, counted, typed or linked."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from formulary.errors import BadText
from formulary.formula.content import Period, Span
from formulary.quantity.amount import Amount
from formulary.stock.choosing import in_order, spread
from formulary.stock.expiry import Expiry, usable_until
from formulary.stock.moves import Cause, StockMove, book, booked, running_balance
from formulary.stock.numbers import container_number, read_container_number
from formulary.tracing import Link, Node, Sort, Way, among, trace
from tests.formulary.stock.shelf import TODAY, ZINC, grams, holding

NOW = datetime(2026, 5, 4, 9, 30, tzinfo=UTC)
masses = st.fractions(min_value=Fraction(1, 1000), max_value=1000, max_denominator=1000)
days = st.dates(TODAY, date(2030, 12, 31))
running = st.integers(1, 999_999)
spots = st.integers(0, 5)


def weighed(amount: Fraction) -> StockMove:
    taken = Amount(-amount, "g")
    return StockMove("move", "jar-1", taken, Cause.WEIGHED, NOW, "ben", "Ben")


@given(running)
def test_a_container_number_is_read_back_as_it_was_written(number: int) -> None:
    written = container_number(number)
    assert read_container_number(written.lower().replace("-", "")) == written


@given(running, spots, st.sampled_from("0123456789X"))
def test_one_wrong_sign_is_always_noticed(number: int, spot: int, other: str) -> None:
    signs = list(container_number(number).replace("-", ""))[1:]
    assume(signs[spot] != other)
    signs[spot] = other
    with pytest.raises(BadText):
        read_container_number("".join(signs))


@given(running, spots, spots)
def test_two_signs_exchanged_are_always_noticed(number: int, one: int, other: int) -> None:
    signs = list(container_number(number).replace("-", ""))[1:]
    assume(signs[one] != signs[other])
    signs[one], signs[other] = signs[other], signs[one]
    with pytest.raises(BadText):
        read_container_number("".join(signs))


@given(masses, st.lists(masses, max_size=12))
def test_the_book_is_never_below_zero_and_all_that_was_weighed_is_in_it(
    received: Fraction, taken: list[Fraction]
) -> None:
    moves = [StockMove("in", "jar-1", grams(received), Cause.RECEIVED, NOW, "ben", "Ben")]
    for amount in taken:
        moves += booked(book(moves, "g").on_hand, weighed(amount), "more")
    assert all(after.number >= 0 for _, after in running_balance(moves, "g"))
    fallen = sum((m.amount.number for m in moves if m.cause is Cause.WEIGHED), Fraction(0))
    assert -fallen == sum(taken, Fraction(0))


@given(days, days, st.builds(Period, st.integers(1, 60), st.sampled_from(Span)))
def test_no_container_outlasts_its_lot(ends: date, opened: date, in_use: Period) -> None:
    assert usable_until(Expiry(ends), opened, in_use).result <= ends


@given(
    st.lists(st.tuples(days, st.booleans(), st.integers(0, 100)), min_size=1, max_size=8), masses
)
def test_a_need_is_met_exactly_by_those_that_expire_first(
    shelf: list[tuple[date, bool, int]], need: Fraction
) -> None:
    holdings = [
        holding(n, ends, opened_on=TODAY if opened else None, held=held)
        for n, (ends, opened, held) in enumerate(shelf, 1)
    ]
    ordered = in_order(holdings, ZINC, TODAY)
    takes = spread(ordered, grams(need))
    assert sum((each.amount.number for each in takes), Fraction(0)) == need
    ends_in_turn = [each.holding.until for each in takes]
    assert ends_in_turn == sorted(ends_in_turn)


@given(st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), max_size=40), st.integers(0, 12))
def test_a_trace_ends_and_finds_what_there_is_a_way_to_and_nothing_else(
    pairs: list[tuple[int, int]], start: int
) -> None:
    links = [Link(_made(one), _made(other)) for one, other in pairs]
    reached = {start}
    for _ in range(13):
        reached |= {other for one, other in pairs if one in reached}
    found = trace([_made(start)], Way.FORWARD, among(links, Way.FORWARD))
    assert set(found.nodes) == {_made(number) for number in reached}


@given(st.lists(st.tuples(st.integers(0, 8), st.integers(0, 8)), min_size=1, max_size=25))
def test_forward_from_here_to_there_is_backward_from_there_to_here(
    pairs: list[tuple[int, int]],
) -> None:
    links = [Link(_made(one), _made(other)) for one, other in pairs]
    first = links[0].source
    for there in trace([first], Way.FORWARD, among(links, Way.FORWARD)).nodes:
        assert first in trace([there], Way.BACKWARD, among(links, Way.BACKWARD)).nodes


@given(days, st.integers(0, 400))
def test_a_lot_is_over_only_after_its_last_day(ends: date, later: int) -> None:
    assert Expiry(ends).is_over(ends + timedelta(days=later)) is (later > 0)


def _made(number: int) -> Node:
    return Node(Sort.PREPARATION, str(number))
