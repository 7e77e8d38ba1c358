"""Making good: the check values of the issue, several lots, vessels and lots that don't suffice."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from formulary.bench.make_good import (
    Ingoing,
    MadeGood,
    Vessel,
    at_the_bench,
    ingoing,
    make_good,
    surplus_jars,
)
from formulary.bench.weighing import LineState, Standing, raise_by, remaining, standing
from formulary.catalogue import Catalogue
from formulary.errors import Refusal
from formulary.quantity.money import Money
from tests.formulary.bench.test_weighing import a_state, after, read
from tests.helpers.formulas import amount, is_amount

BATCH = (
    Ingoing("Base", amount("120 g")),
    Ingoing("Water", amount("24 g")),
    Ingoing("Urea", amount("6 g"), amount("6.48 g")),
    Ingoing("Ointment", amount("50 g")),
)


def batch(**more: Any) -> MadeGood:  # noqa: ANN401  of many types
    return make_good(BATCH, ordered=amount("180 g"), **more)


def test_the_rest_follows_the_overweighed_line_up() -> None:
    made = batch()
    assert made.factor == Fraction("1.08")
    assert [each.target for each in made.lines] == [
        amount(each) for each in ("129.6 g", "25.92 g", "6.48 g", "54 g")
    ]
    assert [each.to_add for each in made.lines] == [
        amount(each) for each in ("129.6 g", "25.92 g", "0 g", "54 g")
    ]
    assert made.total == amount("216 g")


def test_containers_stay_as_ordered_and_the_rest_is_surplus() -> None:
    assert batch().surplus == amount("36 g")
    assert surplus_jars(amount("36 g"), amount("60 g")) == 0
    assert surplus_jars(amount("66 g"), amount("60 g")) == 1


def test_every_step_is_a_sentence_of_the_catalogue() -> None:
    said = [Catalogue().text(each) for each in batch().steps]
    assert said[0].replace("\N{NO-BREAK SPACE}", " ") == "Most over is Urea: 6.48 g / 6 g = 1.08"
    assert len(said) == 1 + len(BATCH) + 2


def test_a_line_weighed_already_gets_only_what_it_lacks() -> None:
    lines = (Ingoing("Base", amount("120 g"), amount("119.6 g")), *BATCH[1:])
    assert make_good(lines).lines[0].to_add == amount("10 g")


def test_of_two_overweighed_lines_the_worse_sets_the_factor() -> None:
    lines = (Ingoing("A", amount("10 g"), amount("10.5 g")), BATCH[2])
    made = make_good(lines)
    assert made.factor == Fraction("1.08")
    assert made.lines[0].to_add == amount("0.3 g")


def test_nothing_is_ever_scaled_down() -> None:
    made = make_good((Ingoing("A", amount("10 g"), amount("9 g")), Ingoing("B", amount("5 g"))))
    assert made.factor == 1
    assert [each.to_add for each in made.lines] == [amount("1 g"), amount("5 g")]


def test_what_doesnt_suffice_stops_it() -> None:
    short = (Ingoing("Base", amount("120 g"), on_hand=amount("125 g")), *BATCH[1:])
    assert not make_good(short).possible
    assert not batch(vessel=Vessel("Beaker 1", amount("210 g"))).possible
    assert batch(vessel=Vessel("Beaker 2", amount("0.5 kg"))).possible


def test_a_vessel_known_by_volume_only_asks_for_a_look() -> None:
    made = batch(vessel=Vessel("Beaker 1", amount("250 mL")))
    assert made.possible
    assert len(made.findings) == 1


def test_the_growth_is_priced_when_every_line_has_a_cost() -> None:
    half = Money(Fraction(1, 2), "EUR")
    priced = [Ingoing(e.name, e.target, e.actual, unit_cost=half) for e in BATCH]
    made = make_good(priced)
    assert made.cost == Money(Fraction(8), "EUR")
    assert "8.00\u00a0EUR" in Catalogue().text(made.steps[-1])
    assert batch().cost is None


def test_prices_in_two_currencies_make_no_sum() -> None:
    prices = (Money(Fraction(1), each) for each in ("EUR", "EUR", "GBP", "EUR"))
    priced = [
        Ingoing(e.name, e.target, e.actual, unit_cost=price)
        for e, price in zip(BATCH, prices, strict=True)
    ]
    assert make_good(priced).cost is None


def test_a_mark_is_made_up_to_and_has_no_sum_with_masses() -> None:
    made = make_good((BATCH[2], Ingoing("Water", amount("100 mL"), up_to=True)))
    assert made.total is None
    assert made.lines[1].to_add == amount("108 mL")
    assert make_good(made_of_volume(), total=amount("100 mL")).total == amount("108 mL")


def made_of_volume() -> tuple[Ingoing, ...]:
    return (BATCH[2], Ingoing("Water", amount("100 mL"), up_to=True))


@pytest.mark.parametrize(
    "wrong",
    [
        (),
        (Ingoing("A", amount("0 g")),),
        (Ingoing("A", amount("1 g"), amount("1 mL")),),
        (Ingoing("A", amount("1 g"), amount("1 g") * -1),),
    ],
)
def test_lines_that_make_no_sense_are_refused(wrong: tuple[Ingoing, ...]) -> None:
    with pytest.raises(Refusal):
        make_good(wrong)


def test_at_the_bench_the_target_is_corrected_by_the_lot() -> None:
    over = after(a_state("6 g", factor="1.02"), read("6.6096 g", "1.02"))
    found = ingoing(over)
    assert found is not None
    assert found.target == amount("6.12 g")
    assert make_good((found,)).factor == Fraction("1.08")


def test_a_line_begun_with_another_lot_is_finished_by_its_own_factor() -> None:
    begun = after(a_state("10 g"), read("4 g"), read("2.2 g", "1.1", "C2"))
    over = after(LineState(1, "Urea", amount("6 g"), Fraction(1)), read("6.48 g"))
    made = at_the_bench((begun, over), total=amount("16 g"), ordered=amount("15 g"))
    assert is_amount(made.lines[0].to_add, "5.28 g")
    assert remaining(raise_by(begun, made.factor)).result == made.lines[0].to_add
    finished = after(raise_by(begun, made.factor), read("5.28 g", "1.1", "C2"))
    assert standing(finished) is Standing.INSIDE
    assert made.surplus == amount("2.28 g")
