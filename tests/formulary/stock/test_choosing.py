"""The first to expire is taken first, and what is wrong on the shelf shows without asking."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

from formulary.finding import Severity
from formulary.quantity.amount import Amount
from formulary.signing import Meaning
from formulary.stock.choosing import ends_before, in_order, passed_over, spread
from formulary.stock.lot import Halt, Source, Status, Stop
from formulary.stock.shelf import (
    Holding,
    Level,
    expired,
    expiring,
    halted,
    low,
    stored_at,
    usable,
    waiting,
    why_not,
)
from tests.formulary.stock.shelf import TODAY, ZINC, grams, holding, numbers, signed, text

SOON, LATER, LATEST = date(2026, 6, 1), date(2026, 9, 1), date(2027, 1, 1)
GONE = date(2026, 5, 3)


def quarantined(number: int) -> Holding:
    found = holding(number, LATER)
    return replace(found, lot=replace(found.lot, status=Status.QUARANTINE))


def stopped(number: int, halt: Halt) -> Holding:
    found = holding(number, LATER)
    stop = Stop(halt, "supplier’s letter", signed(Meaning.DECIDED))
    return replace(found, lot=replace(found.lot, stop=stop))


def test_the_first_to_expire_comes_first() -> None:
    shelf = (holding(1, LATEST), holding(2, SOON), holding(3, LATER))
    assert numbers(in_order(shelf, ZINC, TODAY)) == ["jar-2", "jar-3", "jar-1"]


def test_of_the_same_date_the_opened_one_comes_first() -> None:
    shelf = (holding(1, LATER), holding(2, LATER, opened_on=TODAY))
    assert numbers(in_order(shelf, ZINC, TODAY)) == ["jar-2", "jar-1"]


def test_of_the_same_date_and_both_closed_the_one_received_earlier_comes_first() -> None:
    older = holding(2, LATER)
    older = replace(older, lot=replace(older.lot, received_on=date(2025, 1, 1)))
    assert numbers(in_order((holding(1, LATER), older), ZINC, TODAY)) == ["jar-2", "jar-1"]


def test_what_may_not_be_used_is_never_offered() -> None:
    other = holding(4, SOON)
    other = replace(other, lot=replace(other.lot, ingredient_id="zinc sulfate"))
    shelf = (holding(1, GONE), quarantined(2), stopped(3, Halt.FROZEN), other, holding(5, LATER))
    assert numbers(in_order(shelf, ZINC, TODAY)) == ["jar-5"]
    assert [each.container.id for each, _ in why_not(shelf, TODAY)] == ["jar-1", "jar-2", "jar-3"]


def test_a_need_is_spread_over_the_containers_in_turn() -> None:
    ordered = (holding(1, SOON, held=30), holding(2, LATER, held=100))
    takes = spread(ordered, grams(50))
    assert [(each.holding.container.id, each.amount) for each in takes] == [
        ("jar-1", grams(30)),
        ("jar-2", grams(20)),
    ]


def test_where_the_books_hold_less_the_last_one_is_asked_for_the_rest() -> None:
    takes = spread((holding(1, SOON, held=30), holding(2, LATER, held=0)), grams(50))
    assert [each.amount for each in takes] == [grams(30), grams(20)]


def test_an_empty_book_is_passed_by() -> None:
    takes = spread((holding(1, SOON, held=0), holding(2, LATER)), grams(50))
    assert [each.holding.container.id for each in takes] == ["jar-2"]


def test_a_book_that_doesnt_compare_with_the_need_is_no_obstacle() -> None:
    (take,) = spread((holding(1, SOON), holding(2, LATER)), Amount(Fraction(5), "mL"))
    assert (take.holding.container.id, take.amount) == ("jar-1", Amount(Fraction(5), "mL"))


def test_taking_another_than_the_first_asks_for_a_reason() -> None:
    ordered = (holding(1, SOON), holding(2, LATER))
    (finding,) = passed_over(ordered[1].container, ordered)
    assert finding.severity is Severity.REASON
    assert ordered[0].container.number in text(finding.said)
    assert passed_over(ordered[0].container, ordered) == ()


def test_of_two_with_the_same_date_either_may_be_taken() -> None:
    ordered = (holding(1, SOON), holding(2, SOON))
    assert passed_over(ordered[1].container, ordered) == ()
    assert passed_over(ordered[1].container, ()) == ()


def test_a_container_that_ends_before_the_preparation_is_pointed_out() -> None:
    (finding,) = ends_before(holding(1, SOON), LATER)
    assert "1 Jun 2026" in text(finding.said)
    assert ends_before(holding(1, LATER), LATER) == ()


def test_what_expires_soon_and_what_has_expired_is_listed() -> None:
    shelf = (holding(1, LATER), holding(2, SOON), holding(3, GONE), holding(4, TODAY))
    assert numbers(expiring(shelf, TODAY, 30)) == ["jar-4", "jar-2"]
    assert numbers(expiring(shelf, TODAY, (SOON - TODAY - timedelta(days=1)).days)) == ["jar-4"]
    assert numbers(expired(shelf, TODAY)) == ["jar-3"]


def test_what_is_recalled_frozen_or_waiting_is_listed_until_it_is_gone() -> None:
    shelf = (stopped(1, Halt.RECALLED), stopped(2, Halt.FROZEN), quarantined(3))
    assert numbers(halted(shelf, Halt.RECALLED)) == ["jar-1"]
    assert numbers(halted(shelf, Halt.FROZEN)) == ["jar-2"]
    assert numbers(waiting(shelf)) == ["jar-3"]
    gone = replace(shelf[0], container=replace(shelf[0].container, emptied_on=TODAY))
    assert halted((gone,), Halt.RECALLED) == ()


def test_only_what_may_be_used_counts_against_running_low() -> None:
    shelf = (holding(1, LATER, held=80), quarantined(2), holding(3, GONE))
    (found,) = low(
        (Level("level", "zinc oxide", grams(100)), Level("level", "zinc oxide", grams(80))),
        shelf,
        TODAY,
    )
    assert (found.level.least, found.usable) == (grams(100), grams(80))
    assert numbers(usable(shelf, TODAY)) == ["jar-1"]


def test_what_is_held_by_volume_doesnt_count_for_a_level_by_mass() -> None:
    liquid = replace(holding(1, LATER), on_hand=Amount(Fraction(500), "mL"))
    (found,) = low((Level("level", "zinc oxide", grams(10)),), (liquid,), TODAY)
    assert found.usable == grams(0)


def test_a_fridge_that_was_too_warm_gives_what_stands_in_it() -> None:
    cold = holding(1, LATER)
    cold = replace(cold, container=replace(cold.container, place="fridge 1"))
    assert numbers(stored_at((cold, holding(2, LATER)), "fridge 1")) == ["jar-1"]


def test_what_is_of_another_ingredient_doesnt_count_for_a_level() -> None:
    (found,) = low((Level("level", "talc", grams(1)),), (holding(1, LATER),), TODAY)
    assert found.usable == grams(0)


def test_another_kind_of_source_doesnt_count_for_a_level() -> None:
    (found,) = low(
        (Level("level", "zinc oxide", grams(1), Source.BASE),), (holding(1, LATER),), TODAY
    )
    assert found.usable == grams(0)
