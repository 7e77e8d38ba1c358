"""The check is whole, signed by a pharmacist, and prepared with what is known."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from formulary.catalogue import keys_under
from formulary.errors import Forbidden, Refusal
from formulary.formula.content import Content, Form, Period, Route, ShelfLife, Span
from formulary.orders.blocking import Step, subject_of
from formulary.orders.order import OrderState, Purpose
from formulary.orders.plausibility import Item, Judged, Opinion, sign
from formulary.orders.prepared import Prepared, prepare
from formulary.patient import PatientDetails
from formulary.quantity.amount import Amount
from formulary.signing import Meaning
from tests.formulary.orders.cases import ALL_OK, HASH, SIGNED, an_order, text
from tests.formulary.shelf_life.cases import WORKS, date_of, kept
from tests.helpers.formulas import a_formula, a_line, active

SUBJECT = subject_of(an_order(), HASH)
MADE_ON = date(2026, 3, 2)
LIFE = ShelfLife(Period(28, Span.DAYS), Period(14, Span.DAYS), reference="house record")
FORMULA = a_formula(active("Urea", "10 g"), a_line("Wool fat", "to 100 g"), shelf_life=LIFE)


def prepared(item: Item, content: Content = FORMULA, **more: Any) -> Prepared:  # noqa: ANN401
    """Return what is said to one item of an order's check."""
    details = more.pop("details", PatientDetails())
    found = prepare(an_order(**more), content, MADE_ON, details)
    assert [each.item for each in found] == list(Item)
    return next(each for each in found if each.item is item)


def doubts(item: Item, content: Content = FORMULA, **more: Any) -> list[str]:  # noqa: ANN401
    """Return the keys of the doubts about an item, without their area; each can be said."""
    found = prepared(item, content, **more)
    assert all(text(said) for said in (*found.facts, *found.doubts))
    return [said.key.removeprefix("orders.doubt.") for said in found.doubts]


def test_every_item_has_to_be_judged() -> None:
    with pytest.raises(Refusal) as refused:
        sign(SUBJECT, ALL_OK[1:], SIGNED)
    assert "dose" in text(refused.value.message)
    with pytest.raises(ValueError, match="once"):
        sign(SUBJECT, (*ALL_OK, ALL_OK[0]), SIGNED)


def test_a_doubt_says_why() -> None:
    doubt = Judged(Item.DOSE, Opinion.DOUBTFUL, " ")
    with pytest.raises(Refusal, match="no_note"):
        sign(SUBJECT, (*ALL_OK[1:], doubt), SIGNED)


def test_only_a_pharmacist_signs_and_only_as_a_check() -> None:
    with pytest.raises(Forbidden, match="not_pharmacist"):
        sign(SUBJECT, ALL_OK, replace(SIGNED, post="technician"))
    with pytest.raises(ValueError, match="released"):
        sign(SUBJECT, ALL_OK, replace(SIGNED, meaning=Meaning.RELEASED))


def test_nothing_is_checked_without_a_formula() -> None:
    with pytest.raises(Refusal, match="no_formula"):
        sign(replace(SUBJECT, version_id=""), ALL_OK, SIGNED)


@pytest.mark.parametrize(
    ("target", "days", "found"),
    [
        ("100 g", 14, []),
        ("100 g", 15, ["too_short_opened"]),
        ("2 x 50 g", 28, []),
        ("2 x 50 g", 29, ["too_short", "too_short_opened"]),
        ("some", 14, []),
        ("100 g", None, ["no_days"]),
    ],
)
def test_shelf_life_is_held_against_the_treatment(
    target: str, days: int | None, found: list[str]
) -> None:
    assert doubts(Item.SHELF_LIFE, target=target, treatment_days=days) == found


def test_a_treatment_is_held_against_the_date_by_rule() -> None:
    cream = kept(preservation=WORKS, highest=25, shelf_life=LIFE)
    lasts = date_of(cream, made_on=MADE_ON)
    order = an_order(target="2 x 50 g", treatment_days=29)
    found = prepare(order, cream, MADE_ON, PatientDetails(), lasts)
    item = next(each for each in found if each.item is Item.SHELF_LIFE)
    assert "treatment_longer" in item.doubts[0].key
    assert any("lasts_by_rule" in fact.key for fact in item.facts)


def test_a_formula_without_evidence_is_in_doubt() -> None:
    bare = replace(FORMULA, shelf_life=None)
    assert doubts(Item.SHELF_LIFE, bare) == ["no_shelf_life"]
    assert doubts(Item.QUALITY, bare) == ["no_evidence"]
    assert doubts(Item.QUALITY) == []


def test_a_form_by_an_unusual_route_is_in_doubt() -> None:
    assert doubts(Item.ROUTE) == []
    assert doubts(Item.ROUTE, replace(FORMULA, form=Form.SUPPOSITORIES)) == ["route"]


def test_dose_lists_what_it_is_judged_by() -> None:
    details = PatientDetails(born=date(2024, 3, 3), weight=Amount(Fraction(10), "kg"))
    facts = [text(said) for said in prepared(Item.DOSE, details=details).facts]
    assert facts == [
        "Urea: 10\u00a0g",
        "Directions: Thinly, twice a day.",
        "23 months old",
        "Weight 10\u00a0kg",
    ]


def test_what_the_dose_cant_be_judged_without_is_in_doubt() -> None:
    oral = replace(FORMULA, route=Route.ORAL, lines=FORMULA.lines[1:])
    assert doubts(Item.DOSE, oral, directions="") == ["no_active", "no_directions", "no_age"]
    adult = PatientDetails(born=date(1980, 1, 1))
    assert doubts(Item.DOSE, replace(FORMULA, route=Route.ORAL), details=adult) == []


def test_the_same_ingredient_twice_is_in_doubt() -> None:
    assert doubts(Item.COMPATIBILITY) == []
    assert doubts(Item.COMPATIBILITY, replace(FORMULA, lines=FORMULA.lines * 2)) == [
        "twice",
        "twice",
    ]


def test_allergies_unasked_and_allergies_known_are_told_apart() -> None:
    assert doubts(Item.ALLERGIES) == ["not_asked"]
    assert doubts(Item.ALLERGIES, details=PatientDetails(allergies=("wool fat",))) == ["allergies"]
    assert doubts(Item.ALLERGIES, details=PatientDetails(no_allergies=True)) == []


@pytest.mark.parametrize(
    ("place", "names"),
    [
        ("orders.purpose", Purpose),
        ("orders.state", OrderState),
        ("orders.item", Item),
        ("orders.step", Step),
        ("orders.opinion", Opinion),
    ],
)
def test_each_has_its_word(place: str, names: Any) -> None:  # noqa: ANN401  of several enums
    assert sorted(keys_under(place)) == sorted(f"{place}.{each.value}" for each in names)
