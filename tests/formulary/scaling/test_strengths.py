"""The declared strength of every active, and the true one after rounding."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.formula.content import Content, Line
from formulary.formula.kinds import ToEndPoint
from formulary.quantity.amount import Amount, Concentration
from formulary.scaling.strengths import Strength
from tests.helpers.formulas import (
    a_balance,
    a_formula,
    a_house,
    a_line,
    active,
    amount,
    density,
    scaled,
)

HOUSE = a_house()


def only(content: Content, target: str, *, rounded: bool = False) -> Strength:
    """Return the strength of the only active."""
    found = scaled(content, target, house=HOUSE if rounded else None).strengths
    assert len(found) == 1
    return found[0]


@pytest.mark.parametrize(
    ("quantity", "number", "unit"),
    [
        ("5 % w/w", 5, "% w/w"),
        ("1 in 1000 w/w", Fraction(1, 10), "% w/w"),
        ("5 g", 5, "% w/w"),
        ("500 mg", Fraction(1, 2), "% w/w"),
        ("2 mg/g", 2, "mg/g"),
    ],
)
def test_the_declared_strength_in_a_mass(quantity: str, number: int | Fraction, unit: str) -> None:
    content = a_formula(active("A", quantity), a_line("B", "to 100 g"))
    assert only(content, "30 g").declared == Concentration(Fraction(number), unit)


@pytest.mark.parametrize(
    ("quantity", "number", "unit"),
    [
        ("5 g", 5, "% w/v"),
        ("5 mL", 5, "% v/v"),
        ("5 mg/mL", 5, "mg/mL"),
        ("200000 units", 2000, "international unit/mL"),
    ],
)
def test_the_declared_strength_in_a_volume(quantity: str, number: int, unit: str) -> None:
    content = a_formula(active("A", quantity), a_line("Water", "to 100 mL"))
    assert only(content, "30 mL").declared == Concentration(Fraction(number), unit)


def test_the_declared_strength_of_dose_units_is_what_one_holds() -> None:
    content = a_formula(active("A", "300 mg per unit"), units=20)
    assert only(content, "12").declared == amount("300 mg")


def test_pieces_in_dose_units_are_a_strength_too() -> None:
    content = a_formula(active("A", "40 pieces"), a_line("B", "1 g per unit"), units=20)
    assert only(content, "12").declared == amount("2 pieces")


def test_a_liquid_by_volume_in_a_mass_is_declared_by_mass() -> None:
    oil = active("Oil", "10 mL", density=density("0.9"))
    content = a_formula(oil, a_line("B", "to 100 g"))
    assert only(content, "30 g").declared == Concentration(Fraction(9), "% w/w")


def test_a_line_made_up_to_a_mark_has_no_strength_of_its_own() -> None:
    content = a_formula(a_line("Salt", "1 g"), active("Peroxide solution", "to 100 mL"))
    assert scaled(content, "100 mL").strengths == ()


def test_a_line_that_fills_up_a_mass_has_one() -> None:
    content = a_formula(a_line("Talc", "90 g"), active("Zinc oxide", "to 100 g"))
    assert only(content, "50 g").declared == Concentration(Fraction(10), "% w/w")


def test_only_actives_have_strengths() -> None:
    assert scaled(a_formula(a_line("A", "5 g"), a_line("B", "to 100 g")), "100 g").strengths == ()


def test_unrounded_the_true_strength_is_the_declared_one() -> None:
    strength = only(a_formula(active("A", "1 in 3 w/w"), a_line("B", "to 100 g")), "100 g")
    assert strength.actual == strength.declared
    assert strength.deviation == 0


def test_the_true_strength_follows_the_reading() -> None:
    # 0.35 % of 10.1 g = 0.03535 g, read as 0.035 g; the rest of 10.065 g is read as 10.06 g.
    content = a_formula(active("A", "0.35 % w/w"), a_line("B", "to 100 g"))
    strength = only(content, "10.1 g", rounded=True)
    true = Fraction("0.035") / Fraction("10.095") * 100
    assert strength.actual == Concentration(true, "% w/w")
    assert strength.deviation == (true / Fraction("0.35") - 1) * 100


def test_the_true_strength_follows_what_is_made_in_all() -> None:
    # No line fills up, so that rounding changes the total too.
    house = a_house(balances=(a_balance("B", "1 kg", "1 g", "1 g"),))
    content = a_formula(active("A", "10.4 g"), a_line("B", "10.4 g"))
    strength = scaled(content, "20.8 g", house=house).strengths[0]
    assert strength.declared == Concentration(Fraction(50), "% w/w")
    assert strength.actual == Concentration(Fraction(50), "% w/w")


def test_the_true_strength_of_an_activity_follows_the_mass_weighed() -> None:
    nystatin = active("Nystatin", "100000 units/g", potency=Fraction(4813))
    content = a_formula(nystatin, a_line("Talc", "to 60 g"))
    strength = only(content, "60 g", rounded=True)
    # 1.247 g of 4 813 000 units/g; the rest of 58.753 g of talc is read as 58.8 g.
    true = Fraction("1.247") * 4813000 / Fraction("60.047")
    assert strength.actual == Concentration(true, "international unit/g")


def test_a_mark_read_off_changes_the_strength() -> None:
    content = a_formula(active("A", "10 g"), a_line("Water", "to 100 mL"))
    strength = only(content, "50.4 mL", rounded=True)
    assert strength.actual == Concentration(Fraction("5.04") / 50 * 100, "% w/v")


def test_an_active_to_an_end_point_is_as_strong_as_is_usual() -> None:
    acid = Line("Acid", ToEndPoint("pH 4", amount("1 g")), active("x", "1 g").role)
    content = a_formula(acid, a_line("B", "to 100 g"))
    assert only(content, "50 g").declared == Concentration(Fraction(1), "% w/w")


def test_the_true_strength_is_shown_to_four_digits() -> None:
    content = a_formula(active("A", "0.35 % w/w"), a_line("B", "to 100 g"))
    shown = only(content, "10.1 g", rounded=True).actual_shown
    assert shown == Concentration(Fraction("0.3467"), "% w/w")


def test_the_true_amount_in_a_dose_unit() -> None:
    content = a_formula(active("A", "33.34 mg per unit"), a_line("B", "1 g per unit"), units=10)
    strength = only(content, "3", rounded=True)
    assert strength.actual == Amount(Fraction("33.34") * Fraction("100") / Fraction("100.02"), "mg")
