"""Periods, keeping and what the house knows of an ingredient."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.catalogue import Catalogue
from formulary.errors import BadText
from formulary.formula.completing import completed
from formulary.formula.content import Period, ShelfLife, Span, Storage
from formulary.formula.keeping import shelf_life_said, storage_said
from formulary.formula.periods import parse_period, said
from formulary.ingredient import Ingredient
from tests.helpers.formulas import a_formula, a_line, amount, density


@pytest.mark.parametrize(
    ("typed", "period"),
    [
        ("35 days", Period(35, Span.DAYS)),
        ("1 day", Period(1, Span.DAYS)),
        ("2 Weeks", Period(2, Span.WEEKS)),
        (" 6  months ", Period(6, Span.MONTHS)),
        ("6months", Period(6, Span.MONTHS)),
    ],
)
def test_a_period_as_people_write_it(typed: str, period: Period) -> None:
    assert parse_period(typed) == period


@pytest.mark.parametrize(
    "typed", ["", "0 days", "-3 days", "35", "1.5 months", "a year", "2 years"]
)
def test_what_is_no_period_is_refused(typed: str) -> None:
    with pytest.raises(BadText) as caught:
        parse_period(typed)
    assert Catalogue().text(caught.value.message)


@pytest.mark.parametrize(
    ("period", "text"),
    [(Period(1, Span.MONTHS), "1 month"), (Period(35, Span.DAYS), "35 days")],
)
def test_a_period_is_said_in_the_plural_it_needs(period: Period, text: str) -> None:
    assert Catalogue().text(said(period)) == text


def test_a_period_is_at_least_one() -> None:
    with pytest.raises(ValueError, match="at least one"):
        Period(0, Span.DAYS)


def kept(storage: Storage | None) -> str:
    """Return a storage instruction in English."""
    return ", ".join(Catalogue().text(each) for each in storage_said(storage))


def test_storage_is_said_as_numbers() -> None:
    assert kept(Storage(15, 25)) == "15 to 25 °C"
    assert kept(Storage(highest=25)) == "not above 25 °C"
    assert kept(Storage(lowest=0)) == "not below 0 °C"
    assert "do not freeze" in kept(Storage(2, 8, do_not_freeze=True))
    assert kept(Storage(note="In its box")).endswith("In its box")


def test_storage_that_nobody_wrote_down_is_said_too() -> None:
    assert kept(None)
    assert Catalogue().text(shelf_life_said(None))


def test_how_long_it_lasts_unopened_and_opened() -> None:
    lasts = ShelfLife(Period(6, Span.MONTHS), Period(4, Span.WEEKS))
    text = Catalogue().text(shelf_life_said(lasts))
    assert "6 months" in text
    assert "4 weeks" in text


OIL = Ingredient("i-1", "Olive oil", "Olivae oleum", ("Sweet oil",), density=density("0.91"))


@pytest.mark.parametrize("name", ["Olive oil", "OLIVE OIL", "olivae oleum", "Sweet oil"])
def test_the_house_completes_a_line_by_any_of_an_ingredients_names(name: str) -> None:
    line = completed(a_formula(a_line(name, "5 mL")), [OIL]).lines[0]
    assert (line.ingredient, line.ingredient_id, line.density) == (name, "i-1", OIL.density)


def test_what_the_formula_says_stands() -> None:
    own = a_line("Olive oil", "5 mL", density=density("0.92"), potency=Fraction(7))
    line = completed(a_formula(own), [OIL]).lines[0]
    assert (line.density, line.potency) == (own.density, Fraction(7))


def test_drop_and_potency_are_completed_too() -> None:
    house = Ingredient("i-2", "Oil", drop=amount("0.02 g"), potency=Fraction(5000))
    line = completed(a_formula(a_line("Oil", "5 drops")), [house]).lines[0]
    assert (line.drop, line.potency) == (amount("0.02 g"), Fraction(5000))


def test_an_unknown_ingredient_stays_as_it_is() -> None:
    content = a_formula(a_line("Moon dust", "5 g"))
    assert completed(content, [OIL]) == content
