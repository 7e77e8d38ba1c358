"""Scaled formulas that textbooks and courses worked out."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from formulary.formula.content import Content
from formulary.quantity.amount import Amount
from tests.check_values.reading import case, cases
from tests.helpers.formulas import a_formula, a_line, density, required, scaled


def _check(case_id: str, content: Content, target: str, names: list[str]) -> None:
    """Compare each line's exact amount with the published one, which may be rounded."""
    expected = case("scaling", case_id)["expected"]
    for name, found in zip(names, required(scaled(content, target)), strict=True):
        if name in expected:
            _compare(found, expected[name])


def _compare(found: Amount | None, published: dict[str, Any]) -> None:
    assert found is not None
    number = found.to(published["unit"]).number
    assert number == Fraction(str(published["exact"]))
    off = abs(number - Fraction(str(published["value"])))
    assert off <= Fraction(str(published["tolerance"]))


def test_a_spirit_made_up_to_a_mark_is_reduced() -> None:
    content = a_formula(
        a_line("peppermint_oil", "100 mL"),
        a_line("peppermint_powder", "10 g"),
        a_line("alcohol", "q.s. ad 1000 mL"),
    )
    names = ["peppermint_oil", "peppermint_powder", "alcohol"]
    _check("scaling-002", content, "240 mL", names)


@pytest.mark.parametrize("case_id", ["scaling-005", "scaling-006"])
def test_a_formula_for_capsules_is_scaled_by_their_number(case_id: str) -> None:
    inputs = case("scaling", case_id)["inputs"]
    names = [name.removesuffix("_g") for name in inputs if name.endswith("_g")]
    lines = [a_line(name, f"{Decimal(str(inputs[f'{name}_g']))} g") for name in names]
    content = a_formula(*lines, units=inputs["batch_capsules"])
    _check(case_id, content, str(inputs["target_capsules"]), names)


def test_parts_are_shared_out_among_tubes() -> None:
    names = ["hydrocortisone_2_5_percent_cream", "calamine", "petrolatum"]
    inputs = case("scaling", "scaling-007")["inputs"]
    lines = [a_line(n, f"{p} parts") for n, p in zip(names, inputs["parts"], strict=True)]
    target = f"{inputs['tubes']} x {inputs['tube_g']} g"
    _check("scaling-007", a_formula(*lines), target, names)


@pytest.mark.parametrize("case_id", ["scaling-009", "scaling-011"])
def test_a_base_makes_percentages_up_to_a_hundred(case_id: str) -> None:
    inputs = case("scaling", case_id)["inputs"]
    names, lines = [], []
    for name, value in inputs.items():
        if name.endswith("_percent"):
            names.append(name.removesuffix("_percent"))
            lines.append(a_line(names[-1], f"{value} % w/w"))
        elif name != "target_g":
            names.append(name)
            lines.append(a_line(name, "to 100 g"))
    _check(case_id, a_formula(*lines), f"{inputs['target_g']} g", names)


def test_a_liquid_given_by_volume_enters_a_total_by_mass_through_its_density() -> None:
    inputs = case("scaling", "scaling-014")["inputs"]
    paraffin = density(str(inputs["liquid_paraffin_g_per_mL"]))
    content = a_formula(
        a_line("zinc_oxide", "10 g"),
        a_line("liquid_paraffin", "15 mL", density=paraffin),
        a_line("yellow_soft_paraffin", "to 100 g"),
    )
    plan = scaled(content, "25 g")
    expected = case("scaling", "scaling-014")["expected"]
    zinc, liquid, soft = required(plan)
    _compare(zinc, expected["zinc_oxide"])
    _compare(soft, expected["yellow_soft_paraffin"])
    assert liquid is not None
    _compare(Amount(liquid.to("mL").number * paraffin.g_per_mL, "g"), expected["liquid_paraffin"])


def test_all_published_cases_are_used() -> None:
    used = ["002", "005", "006", "007", "009", "011", "014"]
    assert [each["id"] for each in cases("scaling")] == [f"scaling-{number}" for number in used]
