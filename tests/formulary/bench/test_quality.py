"""Final tests by dosage form: the look, pH, density and single masses."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.bench import quality
from formulary.bench.quality import FinalTest, HouseRule, Look
from formulary.catalogue import Catalogue
from formulary.errors import Refusal
from formulary.formula.content import Form
from formulary.quantity.amount import Amount
from tests.helpers.formulas import amount

RULE = HouseRule("House rule for few units, edition 1")


def weights(*figures: str) -> list[Amount]:
    return [amount(f"{each} mg") for each in figures]


@pytest.mark.parametrize("form", list(Form))
def test_every_form_is_at_least_looked_at(form: Form) -> None:
    assert quality.final_tests(form)[0] is FinalTest.APPEARANCE
    assert quality.looks_for(form)
    for each in quality.looks_for(form):
        assert Catalogue().text(quality.look_said(each))


def test_the_look_passes_when_every_item_is_right() -> None:
    answers = dict.fromkeys(quality.looks_for(Form.CREAM), True)
    assert quality.appearance(Form.CREAM, answers).passed
    found = quality.appearance(Form.CREAM, answers | {Look.NO_GRIT: False})
    assert not found.passed
    assert "grit" in Catalogue().text(found.steps[-1])


def test_an_item_left_open_is_no_verdict() -> None:
    with pytest.raises(Refusal):
        quality.appearance(Form.CREAM, {Look.COLOUR: True})


@pytest.mark.parametrize(("found", "passed"), [("4.9", False), ("5", True), ("6", True)])
def test_a_ph_on_its_limit_is_inside(found: str, *, passed: bool) -> None:
    judged = quality.acidity(Fraction(found), Fraction(5), Fraction(6))
    assert judged.passed is passed
    assert Catalogue().text(judged.steps[-1])


def test_figures_that_cannot_be_are_refused() -> None:
    with pytest.raises(Refusal):
        quality.acidity(Fraction(15), Fraction(5), Fraction(6))
    with pytest.raises(Refusal):
        quality.acidity(Fraction(5), Fraction(6), Fraction(5))
    with pytest.raises(Refusal):
        quality.density(amount("0 g"), amount("10 mL"), Fraction(1), Fraction(2))


def test_a_density_comes_from_a_weighed_volume() -> None:
    found = quality.density(amount("10.2 g"), amount("10 mL"), Fraction(1), Fraction("1.02"))
    assert found.passed
    assert "1.02" in Catalogue().text(found.steps[0])


def test_twenty_masses_are_judged_by_the_pharmacopoeia() -> None:
    passing = weights(*["250"] * 18, "276", "224")
    assert quality.uniformity(Form.CAPSULES, passing, 40).passed
    failing = weights(*["250"] * 17, "277", "277", "223")
    assert not quality.uniformity(Form.CAPSULES, failing, 40).passed


def test_all_of_a_small_batch_are_judged_by_the_houses_rule_under_its_name() -> None:
    found = quality.uniformity(Form.SUPPOSITORIES, weights("2010", "1980", "2000"), 3, RULE)
    assert found.passed
    assert RULE.name in Catalogue().text(found.steps[-1])
    wide = quality.uniformity(Form.SUPPOSITORIES, weights("2210", "1980", "2000"), 3, RULE)
    assert not wide.passed


@pytest.mark.parametrize(
    ("form", "count", "made", "rule"),
    [
        (Form.CREAM, 20, 20, None),
        (Form.CAPSULES, 19, 40, None),
        (Form.CAPSULES, 21, 40, None),
        (Form.CAPSULES, 10, 12, RULE),
        (Form.CAPSULES, 12, 12, None),
        (Form.CAPSULES, 2, 2, RULE),
    ],
)
def test_too_few_masses_or_no_rule_for_them_is_no_verdict(
    form: Form, count: int, made: int, rule: HouseRule | None
) -> None:
    with pytest.raises(Refusal) as refused:
        quality.uniformity(form, weights(*["250"] * count), made, rule)
    assert Catalogue().text(refused.value.message).endswith(".")
