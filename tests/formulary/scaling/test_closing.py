"""The rest after rounding falls on the line that fills up, so that the masses add up."""

from __future__ import annotations

from fractions import Fraction

from formulary.catalogue import Catalogue
from formulary.quantity.amount import Amount
from formulary.scaling.plan import Plan
from tests.helpers.formulas import (
    a_balance,
    a_formula,
    a_house,
    a_line,
    active,
    amount,
    density,
    is_amount,
    scaled,
)

TENTHS = a_house(balances=(a_balance("Balance", "1 kg", "0.1 g", "0.1 g"),))


def together(plan: Plan) -> Amount:
    """Return the sum of what is weighed, every line a mass."""
    return Amount(
        sum((e.to_measure.to("g").number for e in plan.lines if e.to_measure), Fraction(0)), "g"
    )


def test_the_residue_falls_on_the_line_that_fills_up() -> None:
    content = a_formula(
        a_line("A", "1 in 3 w/w"), a_line("B", "1 in 3 w/w"), a_line("C", "to 10 g")
    )
    plan = scaled(content, "10 g", house=TENTHS)
    assert is_amount(plan.lines[0].to_measure, "3.3 g")
    assert is_amount(plan.lines[2].to_measure, "3.4 g")
    assert plan.lines[2].required == Amount(Fraction(10, 3), "g")
    assert together(plan) == amount("10 g")
    assert is_amount(plan.total, "10 g")


def test_the_working_says_what_the_rounding_left() -> None:
    content = a_formula(
        a_line("A", "1 in 3 w/w"), a_line("B", "1 in 3 w/w"), a_line("C", "to 10 g")
    )
    said = [step.key for step in scaled(content, "10 g", house=TENTHS).lines[2].working]
    assert said[-2:] == ["scaling.step.residue", "scaling.step.rounded"]


def test_without_rounding_there_is_no_residue() -> None:
    content = a_formula(a_line("A", "1 in 4 w/w"), a_line("C", "to 10 g"))
    said = [step.key for step in scaled(content, "10 g", house=TENTHS).lines[1].working]
    assert "scaling.step.residue" not in said


def test_several_lines_share_the_residue() -> None:
    content = a_formula(
        a_line("A", "1 in 3 w/w"), a_line("B", "aa ad 10 g"), a_line("C", "aa ad 10 g")
    )
    plan = scaled(content, "10 g", house=TENTHS)
    # 3.3 g are weighed of A, so 3.35 g remain for each; half to even that is 3.4 g.
    assert [is_amount(line.to_measure, "3.4 g") for line in plan.lines[1:]] == [True, True]
    assert is_amount(plan.total, "10.1 g")


def test_a_liquid_measured_by_volume_leaves_its_rounding_as_a_mass() -> None:
    oil = a_line("Oil", "3.33 mL", density=density("0.8"))
    plan = scaled(a_formula(oil, a_line("Base", "to 100 g")), "100 g", house=a_house())
    assert is_amount(plan.lines[0].to_measure, "3.3 mL")
    assert is_amount(plan.lines[1].to_measure, "97.4 g")  # 100 - 3.3 x 0.8 = 97.36
    assert plan.lines[1].instrument == "Coarse balance"


def test_others_rounded_up_over_the_total_take_nothing_out_and_are_not_refused() -> None:
    content = a_formula(
        a_line("A", "1.66 g"), a_line("B", "1.67 g"), a_line("C", "1.66 g"), a_line("D", "to 5 g")
    )
    plan = scaled(content, "5 g", house=TENTHS)
    assert is_amount(plan.lines[3].required, "0.01 g")
    assert is_amount(plan.lines[3].to_measure, "0 g")
    assert is_amount(plan.total, "5.1 g")


def test_a_line_that_nothing_is_left_for_gets_no_residue() -> None:
    content = a_formula(a_line("A", "3.33 g"), a_line("B", "6.67 g"), a_line("C", "to 10 g"))
    plan = scaled(content, "10 g", house=a_house(balances=(a_balance("B", "1 kg", "1 g", "1 g"),)))
    assert is_amount(plan.lines[2].to_measure, "0 g")


def test_a_line_made_up_to_a_mark_is_no_rest() -> None:
    content = a_formula(active("A", "1 in 3 w/v"), a_line("Water", "to 50 mL"))
    assert is_amount(scaled(content, "50 mL", house=a_house()).lines[1].to_measure, "50 mL")


def test_a_residue_has_a_sentence() -> None:
    content = a_formula(a_line("A", "1 in 3 w/w"), a_line("C", "to 10 g"))
    step = scaled(content, "10 g", house=TENTHS).lines[1].working[-2]
    said = Catalogue().text(step).replace("\N{NO-BREAK SPACE}", " ")
    assert said.startswith("Rounding of the other lines leaves 33.333")
    assert said.endswith("mg here: 6.7 g")
