"""What scaling refuses, each with its own sentence."""

from __future__ import annotations

import pytest

from formulary.catalogue import Catalogue
from formulary.errors import BadText, Refusal
from formulary.formula.content import Content
from formulary.formula.kinds import ToTotal
from formulary.quantity.amount import Amount
from formulary.scaling.target import parse_target
from tests.helpers.formulas import a_formula, a_line, amount, density, scaled

BASE = a_line("Base", "to 100 g")


def refusal(content: Content, target: str = "100 g", excess: str = "") -> str:
    """Return the key of the refusal, which must have a sentence without holes."""
    with pytest.raises(Refusal) as caught:
        scaled(content, target, excess)
    assert Catalogue().text(caught.value.message)
    return caught.value.message.key.removeprefix("scaling.")


def test_no_lines() -> None:
    assert refusal(a_formula()) == "no_lines"


def test_no_total() -> None:
    assert refusal(a_formula(a_line("A", "5 % w/w"), a_line("B", "10 g"))) == "no_total"


def test_shares_that_leave_something_open_have_no_total() -> None:
    assert refusal(a_formula(a_line("A", "5 % w/w"), a_line("B", "90 % w/w"))) == "no_total"


def test_shares_of_volume_alone_have_no_total() -> None:
    assert refusal(a_formula(a_line("A", "50 % v/v"), a_line("B", "50 % v/v"))) == "no_total"


def test_volumes_alone_are_no_total() -> None:
    content = a_formula(a_line("A", "50 mL"), a_line("B", "50 mL"))
    assert refusal(content, "100 mL") == "volumes_do_not_add"


def test_an_over_filled_total_by_mass() -> None:
    assert refusal(a_formula(a_line("A", "60 g"), a_line("B", "50 g"), BASE)) == "over_filled"


def test_an_over_filled_total_without_a_closing_line() -> None:
    content = a_formula(a_line("A", "60 g"), a_line("B", "50 g"), total=amount("100 g"))
    assert refusal(content) == "over_filled"


def test_liquids_over_the_mark() -> None:
    content = a_formula(a_line("A", "60 mL"), a_line("B", "50 mL"), a_line("W", "to 100 mL"))
    assert refusal(content, "100 mL") == "over_filled"


def test_liquids_far_over_a_volume_without_a_closing_line() -> None:
    content = a_formula(a_line("A", "80 mL"), a_line("B", "80 mL"), total=amount("100 mL"))
    assert refusal(content, "100 mL") == "over_filled"


def test_ethanol_and_water_may_measure_a_little_more_than_they_make() -> None:
    content = a_formula(a_line("A", "52 mL"), a_line("B", "51.5 mL"), total=amount("100 mL"))
    assert scaled(content, "100 mL").to_make == amount("100 mL")


@pytest.mark.parametrize("share", ["101 % w/w", "1100 mg/g", "100.5 % v/v"])
def test_more_than_the_whole(share: str) -> None:
    content = a_formula(a_line("A", share), a_line("W", "to 100 mL"), density=density("1.3"))
    assert refusal(content, "100 mL") == "over_hundred"


def test_shares_by_mass_that_are_more_than_the_whole_together() -> None:
    content = a_formula(
        a_line("A", "60 % w/w"),
        a_line("B", "600 mg/g"),
        a_line("W", "to 100 mL"),
        density=density("1.3"),
    )
    assert refusal(content, "100 mL") == "shares_over_whole"


def test_a_syrup_may_be_over_a_hundred_per_cent_w_v() -> None:
    content = a_formula(a_line("Sucrose", "110 % w/v"), a_line("Water", "to 100 mL"))
    assert scaled(content, "50 mL").lines[0].required == amount("55 g")


def test_a_density_is_missing_where_mass_meets_volume() -> None:
    assert refusal(a_formula(a_line("Oil", "10 mL"), BASE)) == "density_missing"


def test_a_total_by_mass_and_a_target_by_volume_need_the_preparations_density() -> None:
    content = a_formula(a_line("A", "5 % w/w"), BASE)
    assert refusal(content, "100 mL") == "preparation_density_missing"


def test_parts_are_by_mass_so_a_target_by_volume_needs_the_preparations_density() -> None:
    content = a_formula(a_line("Powder", "1 part"), a_line("Oil", "3 parts"))
    assert refusal(content, "100 mL") == "preparation_density_missing"


def test_weight_in_volume_of_a_mass_needs_the_preparations_density() -> None:
    content = a_formula(a_line("A", "5 % w/v"), BASE)
    assert refusal(content) == "preparation_density_missing"


@pytest.mark.parametrize("target", ["0 g", "0", "-1", "0 x 60 g", "3 x 0 g", "0 mL"])
def test_nothing_to_make(target: str) -> None:
    with pytest.raises(Refusal):
        parse_target(target)


@pytest.mark.parametrize("target", ["-5 g", "5 u", "5 gr", "5", "12 x", "x 60 g", "", "9" * 5000])
def test_a_target_that_cannot_be_read_or_made(target: str) -> None:
    content = a_formula(a_line("A", "5 % w/w"), BASE)
    with pytest.raises(Refusal) as caught:
        scaled(content, target)
    assert Catalogue().text(caught.value.message)


def test_an_unknown_unit() -> None:
    with pytest.raises(BadText):
        a_line("A", "5 spoons")


def test_part_of_a_dose_unit() -> None:
    content = a_formula(a_line("A", "1 g per unit"), units=10)
    assert refusal(content, "2.5 pieces") == "part_of_a_unit"


def test_two_totals_on_lines() -> None:
    content = a_formula(a_line("A", "aa ad 100 g"), a_line("B", "aa ad 50 g"))
    assert refusal(content) == "two_totals"


def test_a_total_on_a_line_and_another_of_the_whole() -> None:
    assert refusal(a_formula(a_line("A", "1 g"), BASE, total=amount("90 g"))) == "two_totals"


def test_a_total_by_mass_and_one_by_volume() -> None:
    content = a_formula(a_line("A", "to 100 g"), a_line("B", "to 100 mL"))
    assert refusal(content) == "two_totals"


def test_the_same_total_in_two_spellings_is_one() -> None:
    content = a_formula(a_line("A", "1 g"), BASE, total=amount("0.1 kg"))
    assert scaled(content, "100 g").lines[1].required == amount("99 g")


def test_two_lines_that_fill_up_alone() -> None:
    content = a_formula(a_line("A", "to 100 mL"), a_line("B", "to 100 mL"))
    assert refusal(content, "100 mL") == "two_closing_lines"


def test_parts_beside_amounts() -> None:
    assert refusal(a_formula(a_line("A", "3 parts"), a_line("B", "5 g"))) == "parts_beside_amounts"


def test_drops_without_the_size_of_a_drop() -> None:
    assert refusal(a_formula(a_line("Oil", "3 drops"), BASE)) == "drop_missing"


def test_units_of_activity_without_a_potency() -> None:
    assert refusal(a_formula(a_line("A", "50000 units"), BASE)) == "potency_missing"


def test_pieces_in_a_sum_of_masses() -> None:
    assert refusal(a_formula(a_line("A", "2 pieces"), BASE)) == "pieces_have_no_mass"


def test_pieces_alone() -> None:
    assert refusal(a_formula(a_line("A", "2 pieces"))) == "no_total"


def test_dose_units_of_a_formula_that_has_none() -> None:
    assert refusal(a_formula(a_line("A", "5 % w/w"), BASE), "12") == "no_dose_unit"


def test_a_mass_of_a_formula_for_dose_units() -> None:
    content = a_formula(a_line("A", "0.3 g per unit"), units=20)
    assert refusal(content, "60 g") == "say_how_many_units"


def test_a_share_of_dose_units() -> None:
    content = a_formula(a_line("A", "0.3 g per unit"), a_line("B", "5 % w/w"), units=20)
    assert refusal(content, "20") == "share_of_units"


def test_a_strength_in_something_that_is_no_size() -> None:
    assert refusal(a_formula(a_line("A", "5 mg/piece"), BASE)) == "share_of_no_size"


@pytest.mark.parametrize("target", ["20 drops", "5000 units"])
def test_a_target_that_is_no_size(target: str) -> None:
    assert refusal(a_formula(a_line("A", "5 % w/w"), BASE), target) == "target_is_no_size"


def test_a_total_that_is_no_size() -> None:
    assert refusal(a_formula(a_line("A", "1 g"), a_line("B", "to 50 drops"))) == "total_is_no_size"


def test_a_total_of_nothing_as_an_unread_line_has_it() -> None:
    nothing = ToTotal(Amount(amount("1 g").number * 0, "g"))
    line = a_line("B", "to 1 g")
    content = a_formula(a_line("A", "1 g"), type(line)(line.ingredient, nothing))
    assert refusal(content) == "total_is_no_size"


def test_filling_up_dose_units() -> None:
    content = a_formula(a_line("A", "0.3 g per unit"), a_line("B", "to 20 pieces"), units=20)
    assert refusal(content, "20") == "rest_of_units"


def test_an_amount_per_unit_without_units() -> None:
    assert refusal(a_formula(a_line("A", "0.3 g per unit"), BASE)) == "no_dose_unit"


def test_an_excess_below_nothing() -> None:
    content = a_formula(a_line("A", "5 % w/w"), BASE)
    with pytest.raises(Refusal):
        scaled(content, "100 g", "-3 %")


@pytest.mark.parametrize("excess", ["3 % + 2 %", "1 g + 2 g", "3", "some"])
def test_an_excess_that_cannot_be_read(excess: str) -> None:
    with pytest.raises(BadText):
        scaled(a_formula(a_line("A", "5 % w/w"), BASE), "100 g", excess)
