"""The earliest limit that counts is the date; evidence lifts the rule's and no other."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from formulary.finding import Severity
from formulary.formula.content import Form, ShelfLife, Storage
from formulary.formula.stability import Preservation, WaterClass
from formulary.shelf_life.asked import Kind
from formulary.shelf_life.dating import outlasts
from formulary.shelf_life.materials import Ending, Sort
from formulary.shelf_life.storage_words import storage_terms
from tests.formulary.shelf_life.cases import (
    NOTHING,
    STUDY,
    WORKS,
    date_of,
    days,
    found_in,
    kept,
    text,
)

CREAM = kept(Form.CREAM, WaterClass.AQUEOUS, WORKS, highest=25)
LOT = Ending(Sort.LOT, "Urea", "UR-1", date(2026, 3, 31))
OPENED = Ending(Sort.OPENED, "Urea", "C-000017", date(2026, 3, 20))
BASE = Ending(Sort.INTERMEDIATE, "Cream", "GS26-00004", date(2026, 3, 15))


# Published with its answer: 10 March 2026, preserved and aqueous, one component to 31 March 2026.
def test_a_component_that_ends_sooner_binds_and_without_it_the_rule_does() -> None:
    bound = date_of(CREAM, materials=(LOT,))
    assert (bound.use_by, bound.bound_by.kind) == (date(2026, 3, 31), Kind.LOT)
    assert date_of(CREAM).use_by == date(2026, 4, 13)
    assert date_of(CREAM).bound_by.kind is Kind.RULE


@pytest.mark.parametrize(
    ("ending", "kind"), [(OPENED, Kind.OPENED), (BASE, Kind.INTERMEDIATE), (LOT, Kind.LOT)]
)
def test_an_opened_pack_and_what_was_made_here_bind_as_a_lot_does(
    ending: Ending, kind: Kind
) -> None:
    lasts = date_of(CREAM, materials=(ending,))
    assert (lasts.use_by, lasts.bound_by.kind) == (ending.last_day, kind)
    assert ending.number in text(lasts.bound_by.said)


def test_the_formulas_own_shorter_life_binds() -> None:
    lasts = date_of(CREAM, own=ShelfLife(days(7), reason="breaks down in light"))
    assert (lasts.use_by, lasts.bound_by.kind) == (date(2026, 3, 16), Kind.FORMULA)
    assert lasts.findings == ()


def test_every_limit_is_listed_with_its_day_and_source_and_the_working_ends_in_the_date() -> None:
    lasts = date_of(CREAM, materials=(LOT, OPENED), own=ShelfLife(days(180), reference="House 3"))
    kinds = [each.kind for each in lasts.candidates]
    assert kinds == [Kind.RULE, Kind.FORMULA, Kind.LOT, Kind.OPENED]
    steps = [text(each) for each in lasts.working.steps]
    assert all(any(text(each.said) in step for step in steps) for each in lasts.candidates)
    assert "20 Mar 2026" in steps[-1]
    assert text(lasts.bound_by.said) in steps[-1]
    assert lasts.working.source is not None
    assert "USP <795>" in text(lasts.working.source)


# Common practice, no source: half a year for an acid cream that is thought to preserve itself.
@pytest.mark.parametrize(
    ("preservation", "highest", "end"),
    [(NOTHING, 8, date(2026, 3, 23)), (WORKS, 25, date(2026, 4, 13))],
)
def test_a_shelf_life_by_habit_is_shown_against_the_rule(
    preservation: Preservation, highest: int, end: date
) -> None:
    habit = ShelfLife(days(182), reason="acid, keeps itself")
    cream = kept(highest=highest, preservation=preservation)
    lasts = date_of(cream, own=habit)
    assert lasts.use_by == end
    assert found_in(lasts) == ["past_the_rule"]
    said = text(lasts.findings[0].said)
    assert "182 days" in said
    assert "7 Sep 2026" in said
    assert lasts.findings[0].severity is Severity.REASON


def test_signed_evidence_lifts_the_rules_limit() -> None:
    lasts = date_of(replace(CREAM, evidence=STUDY), signed=True)
    assert (lasts.use_by, lasts.bound_by.kind) == (date(2026, 6, 7), Kind.EVIDENCE)
    ruled = next(each for each in lasts.candidates if each.kind is Kind.RULE)
    assert not ruled.counts


def test_evidence_lifts_no_further_than_the_ceiling() -> None:
    long = replace(STUDY, period=days(400))
    lasts = date_of(replace(CREAM, evidence=long), signed=True)
    assert (lasts.use_by, lasts.bound_by.kind) == (date(2026, 9, 5), Kind.CEILING)


def test_evidence_lifts_no_ingredient_no_pack_and_no_shelf_life_of_the_formula() -> None:
    content = replace(CREAM, evidence=STUDY)
    for ending in (LOT, OPENED, BASE):
        assert date_of(content, signed=True, materials=(ending,)).use_by == ending.last_day
    own = ShelfLife(days(35))
    assert date_of(content, signed=True, own=own).use_by == date(2026, 4, 13)


@pytest.mark.parametrize(
    ("flaw", "said"),
    [
        ({"same_composition": False}, "composition"),
        ({"same_container": False}, "container"),
        ({"same_storage": False}, "storage"),
        ({"preservative_tested": False}, "preservative"),
    ],
)
def test_evidence_for_something_else_lifts_nothing(flaw: dict[str, Any], said: str) -> None:
    lasts = date_of(replace(CREAM, evidence=replace(STUDY, **flaw)), signed=True)
    assert lasts.use_by == date(2026, 4, 13)
    assert "evidence_lifts_nothing" in found_in(lasts)
    assert any(said in text(each.said) for each in lasts.findings)


def test_evidence_that_no_pharmacist_signed_lifts_nothing() -> None:
    lasts = date_of(replace(CREAM, evidence=STUDY))
    assert lasts.use_by == date(2026, 4, 13)
    assert "no pharmacist has signed" in text(lasts.findings[0].said)


def test_a_set_without_a_ceiling_is_lifted_by_nothing() -> None:
    lasts = date_of(replace(CREAM, evidence=STUDY), signed=True, rules="be-2-months")
    assert lasts.use_by == date(2026, 5, 9)
    assert "evidence_lifts_nothing" in found_in(lasts)


def test_a_dry_form_needs_no_test_of_a_preservative() -> None:
    dry = kept(Form.SOLUTION, WaterClass.NON_AQUEOUS, NOTHING, highest=25)
    study = replace(STUDY, period=days(180), preservative_tested=False)
    assert "evidence_lifts_nothing" not in found_in(
        date_of(replace(dry, evidence=study), signed=True)
    )


def test_a_study_that_shows_less_than_the_rule_shortens_even_unsigned() -> None:
    short = replace(STUDY, period=days(10), same_container=False)
    lasts = date_of(replace(CREAM, evidence=short))
    assert (lasts.use_by, lasts.bound_by.kind) == (date(2026, 3, 19), Kind.EVIDENCE)


def test_signed_evidence_holds_where_it_is_kept_as_it_was_studied() -> None:
    warm = kept(Form.CREAM, WaterClass.AQUEOUS, NOTHING, highest=25, evidence=STUDY)
    assert date_of(warm, signed=True).stop is None
    assert date_of(warm).stop is not None


def test_the_period_once_opened_stands_beside_the_date() -> None:
    lasts = date_of(CREAM, own=ShelfLife(days(35), opened=days(14)))
    assert lasts.opened == days(14)
    assert lasts.use_by == date(2026, 4, 13)


def test_a_material_that_ended_before_it_was_made_stops() -> None:
    over = replace(LOT, last_day=date(2026, 3, 9))
    lasts = date_of(CREAM, materials=(over,))
    assert lasts.stop is not None
    assert found_in(lasts)[-1] == "over_before_made"


def test_a_treatment_that_outlasts_the_date_warns() -> None:
    lasts = date_of(CREAM)
    assert outlasts(lasts, 35) is None
    found = outlasts(lasts, 36)
    assert found is not None
    assert "13 Apr 2026" in text(found.said)


@pytest.mark.parametrize("note", ["in a cold place", "Store at room temperature.", "refrigerator"])
def test_a_bare_storage_term_is_said_in_numbers_of_each_book(note: str) -> None:
    lasts = date_of(replace(CREAM, storage=Storage(15, 25, note=note)))
    assert found_in(lasts)[-1] == "bare_term"
    assert "°C by Ph. Eur. 1.2" in text(lasts.findings[-1].said)


def test_words_that_only_hold_a_term_and_an_empty_note_say_nothing() -> None:
    for note in ("", "keep upright; do not scold"):
        assert "bare_term" not in found_in(
            date_of(replace(CREAM, storage=Storage(15, 25, note=note)))
        )


# USP <659> and Ph. Eur. 1.2: "cold" is at most 8 °C in one and 8 to 15 °C in the other.
def test_the_same_word_means_other_temperatures_in_another_book() -> None:
    cold = {
        each.book: (each.lowest, each.highest) for each in storage_terms() if each.term == "cold"
    }
    assert cold["USP <659>"] == (None, 8)
    assert cold["Ph. Eur. 1.2"] == (8, 15)
    assert all(each.source for each in storage_terms())
