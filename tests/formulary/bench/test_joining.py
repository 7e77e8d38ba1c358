"""Before phases are joined each temperature has its window, and the difference its limit."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.bench.joining import DEFAULT_DIFFERENCE, JoinRule, difference_of, doubts, rule_of
from formulary.bench.method import method_of
from formulary.bench.temperatures import Window, window_of
from formulary.catalogue import Catalogue
from formulary.errors import Refusal
from formulary.formula.content import Content, MethodStep
from tests.helpers.at_bench import a_cream, a_step, at


def rule(content: Content, step: int) -> JoinRule:
    """Return what holds at a join of a formula."""
    found = rule_of(method_of(content), step, difference_of(content))
    assert found is not None
    return found


def said(rule: JoinRule, *temperatures: tuple[str, str]) -> list[str]:
    """Return the doubts as sentences."""
    entered = [at(side, degrees) for side, degrees in temperatures]
    return [Catalogue().text(each) for each in doubts(rule, entered)]


def test_equal_temperatures_inside_both_windows_are_right() -> None:
    assert said(rule(a_cream(), 2), ("A", "70"), ("B", "65")) == []


def test_more_than_five_degrees_apart_is_too_much() -> None:
    wide = a_cream(steps=(a_step("Melt", "A"), a_step("Heat", "B"), a_step("Join")))
    (sentence,) = said(rule(wide, 2), ("A", "70"), ("B", "64.5"))
    assert sentence == "Phases A and B differ by 5.5 °C; 5 °C is the limit."


def test_the_formula_can_set_its_own_difference() -> None:
    assert difference_of(a_cream()) == DEFAULT_DIFFERENCE
    strict = a_cream(join_difference=Fraction(2))
    assert len(said(rule(strict, 2), ("A", "68"), ("B", "65.5"))) == 1
    level = a_cream(join_difference=Fraction(0))
    assert said(rule(level, 2), ("A", "68"), ("B", "68")) == []


def test_each_phase_has_its_own_window() -> None:
    assert said(rule(a_cream(), 2), ("A", "71"), ("B", "66")) == [
        "Phase A is at 71 °C; right is 65 to 70 °C."
    ]


def test_a_late_addition_has_a_ceiling_and_may_itself_be_cold() -> None:
    late = rule(a_cream(), 5)
    assert said(late, ("A+B", "40"), ("C", "20")) == []
    assert said(late, ("A+B", "41"), ("C", "20")) == [
        "Phase A+B is at 41 °C; right is at most 40 °C."
    ]


def test_a_late_addition_without_a_ceiling_is_held_to_the_difference() -> None:
    content = a_cream(steps=(*a_cream().steps[:5], a_step("Stir in")))
    assert len(said(rule(content, 5), ("A+B", "41"), ("C", "20"))) == 1


def test_every_side_is_entered_and_no_other() -> None:
    for entered in ([at("A", "68")], [at("A", "68"), at("B", "68"), at("C", "68")]):
        with pytest.raises(Refusal) as refusal:
            doubts(rule(a_cream(), 2), entered)
        assert Catalogue().text(refusal.value.message)


def test_where_nothing_is_joined_nothing_is_asked() -> None:
    assert rule_of(method_of(a_cream()), 3, DEFAULT_DIFFERENCE) is None


@pytest.mark.parametrize(
    ("text", "window"),
    [
        ("65 to 70 °C", Window(Fraction(65), Fraction(70))),
        ("below 30 °C", Window(None, Fraction(30))),
        ("above 60.5 °C", Window(Fraction("60.5"))),
        ("95 °C", None),
        ("room temperature", None),
    ],
)
def test_a_steps_temperature_is_read_where_it_is_plain(text: str, window: Window | None) -> None:
    assert window_of(MethodStep("Melt", temperature=text)) == window


def test_a_steps_own_limits_win_over_its_words() -> None:
    step = MethodStep("Melt", temperature="65 to 70 °C", highest=Fraction(72))
    assert window_of(step) == Window(None, Fraction(72))
