"""The method names an ingredient where the bench weighs it, or says that it goes in elsewhere."""

from __future__ import annotations

from formulary.catalogue import Catalogue
from formulary.formula.content import Content, MethodStep
from tests.formulary.review.cases import FAT, NOTE, REASON, WATER, a_cream, fields, found, loudness
from tests.helpers.formulas import a_line, active

RULE = "named_elsewhere"
UREA = active("Urea", "5 g")


def stirred(*steps: MethodStep) -> Content:
    """Return a cream of urea and fat that is made so; both are weighed at the first step."""
    return a_cream(UREA, FAT, steps=steps)


def test_named_where_it_is_weighed_is_right() -> None:
    content = stirred(MethodStep("Mix urea with the white soft paraffin."), MethodStep("Fill."))
    assert loudness(content, RULE) == []


def test_named_only_later_is_noted_until_the_step_says_that_it_adds_it() -> None:
    late = MethodStep("Stir in the urea.")
    content = stirred(MethodStep("Melt."), late)
    assert loudness(content, RULE) == [NOTE]
    assert fields(content, RULE) == ["step.1.adds"]
    told = Catalogue().text(found(content, RULE)[0].said)
    assert told.startswith("Urea is weighed at step 1, but the method names it only at step 2.")
    adding = MethodStep("Stir in the urea.", adds=("Urea",))
    assert loudness(stirred(MethodStep("Melt."), adding), RULE) == []


def test_named_before_it_is_weighed_needs_a_reason() -> None:
    adding = MethodStep("Stir in.", adds=("Urea",))
    content = stirred(MethodStep("Dissolve the urea."), adding)
    assert loudness(content, RULE) == [REASON]


def test_what_no_step_names_goes_in_with_its_phase() -> None:
    assert loudness(stirred(MethodStep("Melt."), MethodStep("Stir until cold.")), RULE) == []


def test_a_name_inside_another_ones_is_that_other_one() -> None:
    lines = a_line("Zinc", "1 g"), active("Zinc oxide", "5 g"), FAT
    adding = MethodStep("Sieve the zinc oxide in.", adds=("Zinc oxide",))
    content = a_cream(*lines, steps=(MethodStep("Melt."), adding))
    assert loudness(content, RULE) == []


def test_water_is_named_again_where_it_makes_up_what_evaporated() -> None:
    steps = MethodStep("Heat."), MethodStep("Make up with purified water.")
    assert loudness(a_cream(UREA, WATER, steps=steps), RULE) == []
