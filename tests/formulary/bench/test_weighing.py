"""A line at the balance: its band, several lots, what goes to waste, and who must have seen it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from formulary.bench import weighing
from formulary.bench.reading import Reading, Taking, unsuited
from formulary.bench.weighing import LineState, Standing, weigh
from formulary.catalogue import Catalogue
from formulary.errors import Forbidden, Refusal
from tests.helpers.formulas import FINE, a_formula, a_line, active, amount, line_of, scaled


def a_state(declared: str, percent: str = "1", factor: str = "1", **more: Any) -> LineState:  # noqa: ANN401  of many types
    return LineState(
        0, "Zinc oxide", amount(declared), Fraction(percent), factor=Fraction(factor), **more
    )


def read(figure: str, factor: str = "1", container: str = "C1", **more: Any) -> Reading:  # noqa: ANN401  of many types
    given: dict[str, Any] = {"balance": "Bench 1", "container": container, "lot": f"L-{container}"}
    return Reading(amount(figure), factor=Fraction(factor), **(given | more))


def after(state: LineState, *readings: Reading) -> LineState:
    for reading in readings:
        state = weigh(state, reading, "tech")
    return state


@pytest.mark.parametrize(
    ("target", "figure", "where"),
    [
        ("40 g", "39.7 g", Standing.INSIDE),
        ("10 g", "9.9 g", Standing.INSIDE),
        ("10 g", "10.1 g", Standing.INSIDE),
        ("10 g", "10.11 g", Standing.OVER),
        ("10 g", "9.89 g", Standing.UNDER),
        ("5 g", "5.5 g", Standing.OVER),
        ("500 mg", "0.5 g", Standing.INSIDE),
    ],
)
def test_a_reading_is_judged_by_the_band(target: str, figure: str, where: Standing) -> None:
    assert weighing.standing(after(a_state(target), read(figure))) is where


def test_the_verdict_says_words_and_figures() -> None:
    said = Catalogue().text(weighing.verdict_said(after(a_state("5 g"), read("5.5 g"))))
    assert said.replace("\N{NO-BREAK SPACE}", " ") == (
        "0.5 g too much: 5.5 g for 5 g, 10 % over; 1 % is allowed."
    )


@pytest.mark.parametrize("figures", [(), ("3 g",), ("5 g",), ("6 g",)])
def test_every_standing_has_its_sentence(figures: tuple[str, ...]) -> None:
    state = after(a_state("5 g"), *(read(each) for each in figures))
    assert Catalogue().text(weighing.verdict_said(state)).endswith(".")


def test_what_remains_is_weighed_by_the_next_lots_own_factor() -> None:
    state = after(a_state("10 g", factor="1.05"), read("4.2 g", "1.05"))
    assert weighing.counted(state) == amount("4 g")
    left = weighing.remaining(state, Fraction("1.1"))
    assert left.result == amount("6.6 g")
    done = after(state, read("6.6 g", "1.1", "C2"))
    assert weighing.standing(done) is Standing.INSIDE
    assert weighing.share(done) == 1
    assert [each.net for each in done.portions] == [amount("4.2 g"), amount("6.6 g")]


def test_what_remains_is_rounded_to_the_balance_when_asked() -> None:
    state = after(a_state("10 g"), read("3.33 g"))
    assert weighing.remaining(state, Fraction("1.001"), amount("0.01 g")).result == amount("6.68 g")


def test_nothing_remains_of_a_line_that_is_over() -> None:
    state = after(a_state("5 g"), read("5.5 g"))
    assert weighing.remaining(state).result == amount("0 g")
    assert weighing.missing(state) == amount("0.5 g") * -1


def test_the_window_follows_what_earlier_lots_brought() -> None:
    state = after(a_state("10 g"), read("4 g"))
    found = weighing.window(state, Fraction(2))
    assert found is not None
    assert (found.low, found.target, found.high) == (
        amount("15.8 g"),
        amount("16 g"),
        amount("16.2 g"),
    )


def test_the_first_reading_stays_when_the_boat_is_corrected() -> None:
    state = after(a_state("5 g"), read("5.5 g"), read("5.01 g", taking=Taking.LEFT))
    assert [each.amount for each in state.readings] == [amount("5.5 g"), amount("5.01 g")]
    assert weighing.standing(state) is Standing.INSIDE
    (portion,) = state.portions
    assert (portion.wasted, portion.taken) == (amount("0.49 g"), amount("5.5 g"))


def test_an_emptied_boat_waits_again_and_its_waste_is_kept() -> None:
    state = after(a_state("5 g"), read("5.5 g"), read("0 g", taking=Taking.LEFT))
    assert weighing.standing(state) is Standing.WAITING
    again = after(state, read("5 g", container="C2"))
    assert weighing.standing(again) is Standing.INSIDE
    assert [each.taken for each in again.portions] == [amount("5.5 g"), amount("5 g")]


def test_part_of_a_boat_with_two_containers_cannot_be_taken_out() -> None:
    state = after(a_state("5 g"), read("3 g"), read("2.5 g", container="C2"))
    with pytest.raises(Refusal) as refused:
        after(state, read("5 g", taking=Taking.LEFT))
    assert refused.value.message.key == "bench.weighing.mixed_boat"


def test_nothing_is_taken_out_of_a_common_vessel() -> None:
    state = weighing.transfer(after(a_state("5 g"), read("5.5 g")), "Beaker")
    with pytest.raises(Refusal) as refused:
        after(state, read("5 g", taking=Taking.LEFT))
    assert refused.value.message.key == "bench.weighing.not_from_vessel"


@pytest.mark.parametrize(
    ("reading", "why"),
    [
        (read("5 g", stable=False), "unstable"),
        (read("0 g"), "nothing_read"),
        (read("5 mL"), "other_kind"),
        (read("5 g", factor="0"), "factor_not_positive"),
        (read("5 g", gross=amount("17 g"), tare=amount("11 g")), "no_sum"),
        (read("1 g", taking=Taking.LEFT), "more_left"),
    ],
)
def test_a_reading_that_cannot_stand_is_refused_in_a_sentence(reading: Reading, why: str) -> None:
    with pytest.raises(Refusal) as refused:
        after(a_state("5 g"), reading)
    assert refused.value.message.key == f"bench.weighing.{why}"
    assert Catalogue().text(refused.value.message).endswith(".")


def test_tare_and_gross_that_add_up_are_kept() -> None:
    state = after(a_state("5 g"), read("5 g", gross=amount("16 g"), tare=amount("11000 mg")))
    assert state.readings[0].gross == amount("16 g")


def test_a_typed_figure_is_enough_for_an_ordinary_ingredient() -> None:
    state = after(a_state("5 g"), read("5 g", manual=True))
    assert state.readings[0].manual


@pytest.mark.parametrize("witness", ["", "tech"])
def test_a_typed_figure_of_a_high_alert_ingredient_needs_a_second_person(witness: str) -> None:
    state = a_state("5 g", high_alert=True)
    with pytest.raises(Forbidden):
        weigh(state, read("5 g", manual=True, witness_id=witness), "tech")
    assert weigh(state, read("5 g", manual=True, witness_id="other"), "tech").readings
    assert weigh(state, read("5 g"), "tech").readings


def test_whoever_weighed_cannot_check_and_a_new_reading_asks_for_a_new_check() -> None:
    state = after(a_state("5 g", needs_check=True), read("4 g"), read("1 g"))
    assert not weighing.is_finished(state)
    with pytest.raises(Forbidden):
        weighing.check_again(state, "tech")
    checked = weighing.check_again(state, "other")
    assert weighing.is_finished(checked)
    assert not weighing.is_finished(after(checked, read("0.01 g")))


def test_accepting_needs_a_reason_and_ends_the_line() -> None:
    state = after(a_state("5 g"), read("5.5 g"))
    with pytest.raises(Refusal):
        weighing.accept(state, " ")
    taken = weighing.accept(state, "within the limits of the strength")
    assert weighing.is_finished(taken)
    with pytest.raises(Refusal):
        after(taken, read("0.1 g"))


def test_making_good_raises_the_target_until_the_reading_is_exact() -> None:
    state = weighing.raise_by(after(a_state("6 g"), read("6.48 g")), Fraction("1.08"))
    assert state.target == amount("6.48 g")
    assert weighing.standing(state) is Standing.INSIDE
    assert weighing.remaining(state).result == amount("0 g")


def test_a_planned_line_comes_to_the_bench_as_declared() -> None:
    plan = scaled(a_formula(active("Zinc oxide", "6 g"), a_line("Base", "ad 60 g")), "120 g")
    state = weighing.line_at_bench(0, line_of(plan, "Zinc oxide"))
    assert (state.declared, state.percent) == (amount("12 g"), Fraction(1))
    assert weighing.standing(state) is Standing.WAITING


def test_a_line_made_up_to_a_mark_has_no_band_and_is_recorded() -> None:
    plan = scaled(a_formula(active("Zinc oxide", "6 g"), a_line("Water", "ad 60 mL")), "120 mL")
    state = weighing.line_at_bench(1, line_of(plan, "Water"))
    assert state.up_to
    done = after(state, read("120 mL"))
    assert weighing.standing(done) is Standing.INSIDE
    assert weighing.verdict_said(done).key == "bench.weighing.verdict.recorded"


def test_a_line_used_as_needed_has_nothing_to_reach() -> None:
    state = after(LineState(0, "Citric acid", None, None), read("0.3 g"))
    assert weighing.standing(state) is Standing.INSIDE
    with pytest.raises(Refusal):
        weighing.remaining(state)


def test_in_a_boat_that_wasnt_zeroed_again_all_of_it_was_weighed() -> None:
    little = read("0.005 g")
    assert unsuited(little, FINE, amount("0.015 g")) == ()
    assert unsuited(little, FINE, amount("0.014 g"))
    assert unsuited(replace(little, vessel="Beaker"), FINE, amount("0.015 g"))


@pytest.mark.parametrize(
    ("reading", "why"),
    [
        (read("0.02 g"), []),
        (read("0.019 g"), ["below_minimum"]),
        (read("0.019 g", gross=amount("90 g")), ["below_minimum"]),
        (read("5 g", gross=amount("100.001 g")), ["over_capacity"]),
        (read("0.01 g", taking=Taking.LEFT), []),
    ],
)
def test_each_addition_must_suit_the_balance_by_itself(reading: Reading, why: list[str]) -> None:
    found = unsuited(reading, FINE)
    assert [each.said.key for each in found] == [f"bench.weighing.{key}" for key in why]
    assert all(Catalogue().text(each.said).endswith(".") for each in found)
