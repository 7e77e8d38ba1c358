"""Free text of a formula is held against what is known to be misread, field by field."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from formulary.formula.content import Content, LabelText, MethodStep, QualityTest, ShelfLife
from formulary.review.writing import in_house, on_label
from tests.formulary.review.cases import FAT, KEPT, NOTE, REASON, STOP, a_cream, fields, loudness
from tests.helpers.formulas import active

UREA = active("Urea", "1 g")
RULE = "error_prone"


def cream(**more: Any) -> Content:  # noqa: ANN401  of many types
    return a_cream(UREA, FAT, **more)


def test_error_prone_writing_is_found_in_each_field_and_leads_there() -> None:
    bad = cream(
        purpose="For .5 % of patients",
        steps=(MethodStep("Stir."), MethodStep("Add 5.0 g of fat.", look_for="10 cc left")),
        tests=(QualityTest("Loss", "below 50 µg"),),
        shelf_life=replace(KEPT["shelf_life"], reason="a study of 3/4/2025"),
    )
    places = ["purpose", "step.1.text", "step.1.look_for", "test.0.limits", "shelf_life.reason"]
    assert fields(bad, RULE) == places
    assert loudness(bad, RULE) == [REASON] * len(places)


def test_the_same_in_safe_writing_is_silent() -> None:
    good = cream(
        purpose="For 0.5 % of patients",
        steps=(MethodStep("Add 5 g of fat.", look_for="10 mL left"),),
        tests=(QualityTest("Loss", "below 50 micrograms"),),
        shelf_life=replace(KEPT["shelf_life"], reason="a study of 3 April 2025"),
    )
    assert loudness(good, RULE) == []


def test_what_a_label_prints_is_held_to_the_stricter_rules() -> None:
    spoons = "Take 1 teaspoonful"
    assert fields(cream(label=LabelText(directions=spoons)), RULE) == ["label.directions"]
    assert loudness(cream(purpose=spoons), RULE) == []
    assert loudness(cream(label=LabelText(extra=("Apply b. i. d.",))), RULE) == [STOP]
    assert loudness(cream(cautions="Apply b. i. d."), RULE) == [NOTE]


def test_latin_name_and_synonyms_keep_the_trades_short_names() -> None:
    assert loudness(cream(latin="Ungt. b. i. d.", synonyms=("Sol. q. s.",)), RULE) == []


def test_every_free_text_is_looked_at() -> None:
    seen = {field for look in (on_label, in_house) for field, _ in look(cream())}
    assert {"title", "source", "marketed", "container.text", "storage.note"} <= seen
    assert {"ingredient.1.grade", "ingredient.1.note", "shelf_life.reference"} <= seen
    assert {"label.name", "label.strength", "label.directions"} <= seen


def test_a_reference_isnt_a_shelf_life() -> None:
    cited = ShelfLife(KEPT["shelf_life"].unopened, reference="Handbook, 5th edition, 2019, p. 12")
    assert loudness(cream(shelf_life=cited), RULE) == []
