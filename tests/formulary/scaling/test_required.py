"""What each kind of quantity comes to, exact."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.formula.content import Content, Line
from formulary.formula.kinds import ToEndPoint
from formulary.quantity.amount import Amount
from tests.helpers.formulas import (
    a_formula,
    a_line,
    amount,
    density,
    is_amount,
    line_of,
    required,
    scaled,
)

BASE = a_line("Base", "to 100 g")


def comes_to(content: Content, target: str, *wanted: str | None) -> bool:
    """Tell whether every line needs exactly what is written."""
    found = required(scaled(content, target))
    assert len(found) == len(wanted)
    return all(
        is_amount(each, text) if text is not None else each is None
        for each, text in zip(found, wanted, strict=True)
    )


@pytest.mark.parametrize(
    ("quantity", "for_sixty_grams"),
    [
        ("10 g", "6 g"),
        ("0.5 g", "0.3 g"),
        ("5 mg", "3 mg"),
        ("20 micrograms", "12 micrograms"),
        ("5 % w/w", "3 g"),
        ("1 in 1000 w/w", "0.06 g"),
        ("1:500 w/w", "0.12 g"),
        ("2 mg/g", "0.12 g"),
        ("25 micrograms/g", "1.5 mg"),
        ("aa 10 g", "6 g"),
    ],
)
def test_an_amount_or_a_share_of_a_mass(quantity: str, for_sixty_grams: str) -> None:
    content = a_formula(a_line("A", quantity), BASE)
    assert is_amount(required(scaled(content, "60 g"))[0], for_sixty_grams)


@pytest.mark.parametrize(
    ("quantity", "for_a_quarter_litre"),
    [
        ("0.9 % w/v", "2.25 g"),
        ("70 % v/v", "175 mL"),
        ("1 in 1000 w/v", "0.25 g"),
        ("1 in 100 v/v", "2.5 mL"),
        ("5 mg/mL", "1.25 g"),
        ("100 units/mL", "25000 units"),
        ("10 mL", "25 mL"),
        ("4 g", "10 g"),
    ],
)
def test_an_amount_or_a_share_of_a_volume(quantity: str, for_a_quarter_litre: str) -> None:
    content = a_formula(a_line("A", quantity), a_line("Water", "to 100 mL"))
    assert is_amount(required(scaled(content, "250 mL"))[0], for_a_quarter_litre)


def test_a_solution_is_made_up_to_its_mark_without_any_density() -> None:
    content = a_formula(a_line("Salt", "9 g"), a_line("Water", "to 1 L"))
    water = line_of(scaled(content, "2 x 250 mL"), "Water")
    assert water.up_to
    assert water.required == amount("500 mL")
    assert water.band is None


def test_ad_makes_a_total_and_a_bare_amount_is_added() -> None:
    assert comes_to(a_formula(a_line("A", "5 g"), a_line("B", "ad 100 g")), "100 g", "5 g", "95 g")
    assert comes_to(a_formula(a_line("A", "5 g"), a_line("B", "100 g")), "105 g", "5 g", "100 g")


def test_aa_gives_each_line_the_amount() -> None:
    content = a_formula(a_line("A", "aa 10 g"), a_line("B", "aa 10 g"), BASE)
    assert comes_to(content, "50 g", "5 g", "5 g", "40 g")


def test_aa_ad_shares_what_is_left() -> None:
    content = a_formula(a_line("A", "aa ad 100 g"), a_line("B", "aa ad 100 g"), a_line("C", "10 g"))
    assert comes_to(content, "100 g", "45 g", "45 g", "10 g")


def test_three_lines_share_what_three_cannot_divide_exactly() -> None:
    content = a_formula(*(a_line(name, "aa ad 100 g") for name in "ABC"))
    assert [each and each.to("g") for each in required(scaled(content, "100 g"))] == [
        Amount(Fraction(100, 3), "g")
    ] * 3


def test_two_lines_share_a_volume_as_if_volumes_added() -> None:
    content = a_formula(
        a_line("A", "aa ad 100 mL"), a_line("B", "aa ad 100 mL"), a_line("C", "20 mL")
    )
    plan = scaled(content, "50 mL")
    assert comes_to(content, "50 mL", "20 mL", "20 mL", "10 mL")
    assert not any(line.up_to for line in plan.lines)
    said = [step.key for step in plan.lines[0].working]
    assert "scaling.step.volumes_taken_as_additive" in said


def test_parts_are_of_the_sum_of_all_parts() -> None:
    content = a_formula(a_line("A", "3 parts"), a_line("B", "5 parts"), a_line("C", "10 parts"))
    assert comes_to(content, "3 x 75 g", "37.5 g", "62.5 g", "125 g")


def test_parts_of_a_volume_are_volumes_only_where_the_formula_says_a_volume() -> None:
    lines = a_line("A", "1 part"), a_line("B", "3 parts")
    assert comes_to(a_formula(*lines, total=amount("100 mL")), "200 mL", "50 mL", "150 mL")


def test_parts_for_a_target_by_volume_are_masses_through_the_preparations_density() -> None:
    lines = a_line("A", "1 part"), a_line("B", "3 parts")
    content = a_formula(*lines, density=density("0.9"))
    assert comes_to(content, "100 mL", "22.5 g", "67.5 g")


def test_open_shares_take_any_mass() -> None:
    content = a_formula(a_line("A", "25 % w/w"), a_line("B", "750 mg/g"))
    assert comes_to(content, "40 g", "10 g", "30 g")


def test_amounts_alone_are_their_own_total() -> None:
    content = a_formula(a_line("A", "8 g"), a_line("Oil", "2 mL", density=density("0.5")))
    assert comes_to(content, "18 g", "16 g", "4 mL")


def test_an_amount_per_dose_unit() -> None:
    content = a_formula(a_line("A", "300 mg per unit"), a_line("B", "0.2 g per unit"), units=20)
    assert comes_to(content, "12", "3.6 g", "2.4 g")


def test_an_amount_per_unit_beside_a_line_that_fills_up() -> None:
    content = a_formula(a_line("A", "300 mg per unit"), a_line("Lactose", "to 10 g"), units=20)
    assert comes_to(content, "12", "3.6 g", "2.4 g")
    assert comes_to(content, "6 g", "3.6 g", "2.4 g")


def test_dose_units_of_a_formula_with_amounts_for_all_of_them() -> None:
    content = a_formula(a_line("A", "1.25 g"), a_line("B", "250 g"), units=100)
    assert comes_to(content, "75", "0.9375 g", "187.5 g")


def test_doses_of_an_undivided_preparation() -> None:
    lines = a_line("A", "2 % w/v"), a_line("Water", "to 100 mL")
    content = a_formula(*lines, dose=amount("10 mL"))
    assert comes_to(content, "12", "2.4 g", "120 mL")


def test_doses_by_volume_of_a_formula_by_mass_go_through_the_preparations_density() -> None:
    lines = a_line("A", "10 % w/w"), BASE
    content = a_formula(*lines, dose=amount("10 mL"), density=density("1.2"))
    assert comes_to(content, "5", "6 g", "54 g")


def test_weight_in_volume_of_a_mass_goes_through_the_preparations_density() -> None:
    content = a_formula(a_line("A", "6 % w/v"), BASE, density=density("1.2"))
    assert comes_to(content, "100 g", "5 g", "95 g")


def test_volume_in_volume_of_a_mass_takes_both_densities() -> None:
    oil = a_line("Oil", "12 % v/v", density=density("0.9"))
    content = a_formula(oil, BASE, density=density("1.2"))
    # 100 g are 83.33 mL; 12 % of them 10 mL; those are 9 g.
    assert comes_to(content, "100 g", "10 mL", "91 g")


def test_weight_in_weight_of_a_volume_goes_through_the_preparations_density() -> None:
    content = a_formula(a_line("A", "5 % w/w"), a_line("W", "to 100 mL"), density=density("1.1"))
    assert comes_to(content, "100 mL", "5.5 g", "100 mL")


def test_a_target_by_volume_of_a_formula_by_mass() -> None:
    content = a_formula(a_line("A", "5 % w/w"), BASE, density=density("0.9"))
    assert comes_to(content, "2 x 50 mL", "4.5 g", "85.5 g")


def test_drops_are_counted_and_weigh_what_a_drop_weighs() -> None:
    content = a_formula(a_line("Oil", "50 drops", drop=amount("0.02 g")), BASE)
    assert comes_to(content, "200 g", "100 drops", "198 g")


def test_a_drop_by_volume_takes_the_density_too() -> None:
    oil = a_line("Oil", "50 drops", drop=amount("0.02 mL"), density=density("0.9"))
    assert comes_to(a_formula(oil, BASE), "100 g", "50 drops", "99.1 g")


def test_units_of_activity_weigh_by_their_potency() -> None:
    content = a_formula(a_line("Nystatin", "100000 units/g", potency=Fraction(5000)), BASE)
    assert comes_to(content, "60 g", "6000000 units", "58.8 g")


def test_an_end_point_needs_nothing_that_is_known() -> None:
    content = a_formula(a_line("A", "5 g"), a_line("Acid", "q.s. until pH 5.5"), BASE)
    assert comes_to(content, "100 g", "5 g", None, "95 g")


def test_what_an_end_point_usually_needs_enters_the_sum_of_masses() -> None:
    acid = Line("Acid", ToEndPoint("pH 5.5", amount("0.5 g")))
    content = a_formula(a_line("A", "5 g"), acid, BASE)
    assert comes_to(content, "200 g", "10 g", "1 g", "189 g")


@pytest.mark.parametrize("target", ["0.06 kg", "60000 mg", "60 g", "60000000 micrograms"])
def test_the_targets_unit_does_not_matter(target: str) -> None:
    assert comes_to(a_formula(a_line("A", "5 % w/w"), BASE), target, "3 g", "57 g")


@pytest.mark.parametrize("target", ["1 nanogram", "100000 kg"])
def test_very_small_and_very_large_sizes_stay_exact(target: str) -> None:
    content = a_formula(a_line("A", "1 in 3 w/w"), BASE)
    found = required(scaled(content, target))[0]
    assert found is not None
    assert found / amount(target) == Fraction(1, 3)


def test_nothing_left_for_the_line_that_fills_up_needs_a_reason() -> None:
    content = a_formula(a_line("A", "100 g"), BASE)
    plan = scaled(content, "50 g")
    assert is_amount(plan.lines[1].required, "0 g")
    assert [each.said.key for each in plan.findings] == ["scaling.finding.nothing_left"]


def test_every_amount_has_its_working() -> None:
    content = a_formula(
        a_line("A", "5 g"),
        a_line("B", "1 % w/w"),
        a_line("C", "2 mL", density=density("1.26")),
        a_line("D", "10 drops", drop=amount("0.03 g")),
        BASE,
    )
    plan = scaled(content, "30 g")
    assert all(line.working for line in plan.lines)
    assert plan.working
    closing = [step.key for step in plan.lines[-1].working]
    assert closing[-1] == "scaling.step.rest"
    assert "scaling.step.mass_from_volume" in closing
    assert "scaling.step.drops" in closing
