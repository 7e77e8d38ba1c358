"""A list parted otherwise, or a figure without its unit: the sentence says what to write."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.calculating.parting import parted, parted_otherwise
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.catalogue import Catalogue
from formulary.errors import BadText


def said(name: str, sign: str = ".", **typed: str) -> str:
    with pytest.raises(BadText) as caught:
        calculate(calculation_named(name), typed, sign)
    return Catalogue("en", sign).text(caught.value.message).replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    ("amounts", "shown"),
    [
        ("200 g, 50 g, 100 g", "200 g; 50 g; 100 g"),
        ("200 g,50 g", "200 g; 50 g"),
        ("200 g 50 g", "200 g; 50 g"),
        ("1.5 g | 50 g", "1.5 g; 50 g"),
        ("200 g\n50 g", "200 g; 50 g"),
    ],
)
def test_a_list_parted_otherwise_is_shown_with_semicolons(amounts: str, shown: str) -> None:
    sentence = said("mixture-strength", amounts=amounts, strengths="10; 20")
    assert sentence.endswith(f"by semicolons: {shown}.")


def test_commas_and_spaces_between_numbers_are_known_as_a_list() -> None:
    for parts in ("1 2 3", "1, 2, 3", "1,2,3"):
        assert "1; 2; 3" in said("parts-formula", parts=parts, target="60 g")


def test_a_comma_that_may_be_decimal_is_asked_about_and_a_decimal_one_is_read() -> None:
    assert "10; 20" in said("parts-formula", parts="10,20", target="60 g")
    assert "1.5" in said("parts-formula", parts="1,500", target="60 g")
    comma = calculate(calculation_named("parts-formula"), {"parts": "1,5; 2", "target": "7 g"}, ",")
    point = calculate(calculation_named("parts-formula"), {"parts": "1.5; 2", "target": "7 g"})
    assert comma.results == point.results


def test_what_is_no_list_keeps_its_own_sentence() -> None:
    assert "semicolons" not in said("mixture-strength", amounts="some g", strengths="10")


@given(st.lists(st.integers(1, 99), min_size=2, max_size=6), st.sampled_from([", ", " ", " | "]))
def test_any_list_is_found_again(numbers: list[int], separator: str) -> None:
    values = [f"{each} g" for each in numbers]
    assert values in list(parted_otherwise(separator.join(values)))
    assert parted("; ".join(values)) == values


@pytest.mark.parametrize(
    ("name", "typed", "offered"),
    [
        ("dose-by-body", {"dose": "1 mg/kg", "body_weight": "70"}, "70 kg, 70 g"),
        ("body-surface-area", {"height": "175", "weight": "70 kg"}, "175 cm, 175 mm"),
        ("number-of-doses", {"total": "150 mL", "dose": "5"}, "5 mL, 5 L"),
        ("supply-for-days", {"dose": "5 mL", "every": "8", "days": "3"}, "8 hours, 8 days"),
    ],
)
def test_a_missing_unit_is_one_of_those_asked_for(
    name: str, typed: dict[str, str], offered: str
) -> None:
    assert offered in said(name, **typed)


def test_pounds_and_inches_are_pointed_to_their_calculation() -> None:
    pounds = said("dose-by-body", dose="1 mg/kg", body_weight="154 lb")
    inches = said("body-surface-area", height="68 inches", weight="70 kg")
    title = Catalogue().text("body_surface.inches_and_pounds.title")
    assert title in pounds
    assert title in inches
