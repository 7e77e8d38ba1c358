"""The true strength by actual weighings, live while lines are still to come."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.bench.true_strength import (
    Precision,
    StrengthLimits,
    TrueStrength,
    precisions,
    true_strengths,
)
from formulary.bench.weighing import LineState, accept, line_at_bench, raise_by
from formulary.catalogue import Catalogue
from formulary.quantity.amount import Concentration
from formulary.scaling.plan import Plan
from tests.formulary.bench.test_weighing import after, read
from tests.helpers.formulas import a_formula, a_house, a_line, active, amount, scaled

READS = {"Bench 1": Precision(amount("0.01 g"))}


def plan() -> Plan:
    return scaled(a_formula(active("Urea", "5 g"), a_line("Base", "ad 100 g")), "100 g")


def lines(made: Plan) -> list[LineState]:
    return [line_at_bench(i, each) for i, each in enumerate(made.lines)]


def strength(states: list[LineState], made: Plan | None = None) -> TrueStrength:
    (found,) = true_strengths(made or plan(), states, READS)
    return found


def test_before_a_reading_it_is_that_of_the_plan() -> None:
    found = strength(lines(plan()))
    assert found.true == found.declared == Concentration(Fraction(5), "% w/w")
    assert not found.complete


def test_too_much_shows_in_the_whole_too() -> None:
    urea, base = lines(plan())
    found = strength([after(urea, read("5.5 g")), base])
    assert found.true.number == Fraction(550) / Fraction("100.5")


def test_what_is_still_to_come_counts_at_its_target() -> None:
    urea, base = lines(plan())
    assert strength([after(urea, read("3 g")), base]).percent == 100


def test_a_line_accepted_short_counts_as_it_is() -> None:
    urea, base = lines(plan())
    short = accept(after(urea, read("4.8 g")), "within its limits")
    assert strength([short, base]).true.number == Fraction(480) / Fraction("99.8")


def test_made_good_the_strength_is_the_declared_one() -> None:
    urea, base = (
        raise_by(each, Fraction("1.1"))
        for each in (after(lines(plan())[0], read("5.5 g")), lines(plan())[1])
    )
    assert strength([urea, base]).percent == 100
    done = strength([urea, after(base, read("104.5 g"))])
    assert done.percent == 100
    assert done.complete


def test_a_second_lots_own_factor_counts() -> None:
    urea, base = lines(plan())
    both = after(urea, read("4 g"), read("1.1 g", "1.1", "C2"))
    found = strength([both, base])
    assert found.true.number == Fraction(500) / Fraction("100.1")


def test_the_uncertainty_adds_up_every_readings_bound() -> None:
    urea, base = lines(plan())
    found = strength([after(urea, read("4 g"), read("1 g")), base])
    assert found.uncertainty == Fraction("0.4") + Fraction("0.02")


def test_a_measured_repeatability_widens_it() -> None:
    assert Precision(amount("10 mg"), amount("5 mg")).bound == amount("20 mg")


def test_a_balance_that_isnt_on_the_list_leaves_it_open() -> None:
    urea, base = lines(plan())
    found = strength([after(urea, read("5 g", balance="Kitchen scale")), base])
    assert found.uncertainty is None
    assert "isn't known" in Catalogue().text(found.said)
    assert not found.inside(StrengthLimits(Fraction(1), Fraction(1000)))


def test_limits_are_judged_with_what_the_balances_leave_open() -> None:
    found = strength([after(lines(plan())[0], read("5.05 g")), lines(plan())[1]])
    assert found.inside(StrengthLimits(Fraction(99), Fraction(102)))
    assert not found.inside(StrengthLimits(Fraction(99), Fraction(101)))


def test_a_mark_keeps_the_volume_whatever_was_weighed() -> None:
    made = scaled(a_formula(active("Urea", "5 g"), a_line("Water", "ad 100 mL")), "100 mL")
    urea, water = lines(made)
    assert strength([after(urea, read("5.5 g")), water], made).percent == 110


@pytest.mark.parametrize("name", ["Fine balance", "Syringe"])
def test_the_houses_instruments_are_known_by_name(name: str) -> None:
    assert name in precisions(a_house())


def test_it_is_said_in_a_sentence() -> None:
    said = Catalogue().text(strength(lines(plan())).said)
    assert said.startswith("Urea: declared 5")
