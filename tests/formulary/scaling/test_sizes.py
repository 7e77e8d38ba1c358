"""Whether a fill suits its container, and a batch the sizes its method was proven for."""

from __future__ import annotations

import pytest

from formulary.formula.content import BatchLimits, Content
from formulary.house import Pack
from formulary.scaling.packs import fit
from formulary.scaling.plan import Choices
from tests.helpers.formulas import a_formula, a_line, amount, density, scaled

CREAM = a_formula(a_line("A", "5 % w/w"), a_line("B", "to 100 g"), density=density("0.8"))
JAR = Pack("Jar", amount("60 g"), amount("100 mL"))


@pytest.mark.parametrize(
    ("fill", "finding"),
    [
        ("60 g", None),
        ("76 g", None),  # 95 mL: just the headspace
        ("76.8 g", "no_headspace"),
        ("80 g", "no_headspace"),
        ("80.8 g", "does_not_fit"),
        ("40 g", None),
        ("39 g", "mostly_air"),
        ("99 mL", "no_headspace"),
    ],
)
def test_a_fill_is_judged_by_its_volume(fill: str, finding: str | None) -> None:
    found = [each.said.key for each in fit(CREAM, amount(fill), JAR)]
    assert found == ([f"scaling.finding.{finding}"] if finding else [])


def test_without_the_preparations_density_it_cannot_be_told() -> None:
    content = a_formula(a_line("A", "5 % w/w"), a_line("B", "to 100 g"))
    found = [each.said.key for each in fit(content, amount("60 g"), JAR)]
    assert found == ["scaling.finding.fit_unknown"]


@pytest.mark.parametrize(
    ("fill", "pack"), [("12 pieces", JAR), ("60 g", Pack("Bag", amount("1 kg")))]
)
def test_pieces_and_packs_without_a_rim_are_not_judged(fill: str, pack: Pack) -> None:
    assert fit(CREAM, amount(fill), pack) == ()


def test_doses_of_something_undivided_fill_a_container_too() -> None:
    syrup = a_formula(a_line("A", "5 % w/v"), a_line("B", "to 100 mL"), dose=amount("10 mL"))
    found = [each.said.key for each in fit(syrup, amount("12 pieces"), JAR)]
    assert found == ["scaling.finding.does_not_fit"]


def test_the_plan_judges_each_container_and_not_all_together() -> None:
    plan = scaled(CREAM, "10 x 60 g", choices=Choices(pack=JAR))
    assert plan.findings == ()
    too_full = scaled(CREAM, "1 x 90 g", choices=Choices(pack=JAR))
    assert [each.said.key for each in too_full.findings] == ["scaling.finding.does_not_fit"]


def _limited(smallest: str, largest: str, **more: object) -> Content:
    limits = BatchLimits(amount(smallest), amount(largest))
    lines = a_line("A", "5 % w/w"), a_line("B", "to 100 g")
    return a_formula(*lines, batch=limits, **more)


@pytest.mark.parametrize(
    ("target", "excess", "finding"),
    [
        ("50 g", "", None),
        ("1 kg", "", None),
        ("49.9 g", "", "under_batch"),
        ("49 g", "5 %", None),
        ("1001 g", "", "over_batch"),
        ("990 g", "3 %", "over_batch"),
    ],
)
def test_a_batch_outside_its_limits_needs_a_reason(
    target: str, excess: str, finding: str | None
) -> None:
    plan = scaled(_limited("50 g", "1 kg"), target, excess)
    found = [each.said.key for each in plan.findings]
    assert found == ([f"scaling.finding.{finding}"] if finding else [])


def test_limits_by_volume_hold_for_a_formula_by_mass_through_its_density() -> None:
    content = _limited("50 mL", "100 mL", density=density("0.8"))
    assert [e.said.key for e in scaled(content, "39 g").findings] == ["scaling.finding.under_batch"]
    assert scaled(content, "41 g").findings == ()


def test_limits_in_dose_units_hold_for_a_formula_with_a_dose() -> None:
    content = _limited("10 pieces", "50 pieces", dose=amount("5 g"))
    assert [e.said.key for e in scaled(content, "51").findings] == ["scaling.finding.over_batch"]


def test_limits_that_cannot_be_compared_are_said_so() -> None:
    found = [each.said.key for each in scaled(_limited("50 mL", "100 mL"), "10 g").findings]
    assert found == ["scaling.finding.batch_limit_unknown"] * 2
