"""The quantity beside an ingredient is proposed as the formula's parser reads it, with doubts."""

from __future__ import annotations

import pytest

from formulary.prescription.amounts import read_quantity, tail_of
from tests.formulary.prescription.cases import keys


def read(text: str, percent: str | None = None, sign: str = ",") -> tuple[str, str, list[str]]:
    """Return name, quantity and the keys of the doubts of an ingredient's line."""
    found = tail_of(text)
    assert found is not None
    proposal = read_quantity(*found, sign, percent)
    assert bool(proposal.text) == (proposal.kind is not None)
    return found[0], proposal.text, keys(proposal.doubts)


@pytest.mark.parametrize(
    ("text", "name", "quantity"),
    [
        ("Acidi salicylici 2,0", "Acidi salicylici", "2 g"),
        ("Acidi salicylici..........2,0", "Acidi salicylici", "2 g"),
        ("Vaselini albi ad 100,0;", "Vaselini albi", "to 100 g"),
        ("Aquae purif. q. s. ad 100,0", "Aquae purif.", "to 100 g"),
        ("Talci aa 10,0", "Talci", "aa 10 g"),
        ("Talci āā ad 100", "Talci", "aa ad 100 g"),
        ("aa ad 50,0", "", "aa ad 50 g"),
        ("Ethanoli 70 % ad 100,0", "Ethanoli 70 %", "to 100 g"),
        ("Acidi lactici 90 % 5,0", "Acidi lactici 90 %", "5 g"),
    ],
)
def test_a_figure_without_a_unit_is_a_question_for_grams(
    text: str, name: str, quantity: str
) -> None:
    assert read(text) == (name, quantity, ["unit_question"])


@pytest.mark.parametrize(
    ("text", "name", "quantity"),
    [
        ("Menthae olei gtt. V", "Menthae olei", "5 drop"),
        ("gtt. X Menthae olei", "Menthae olei", "10 drop"),
        ("Menthae olei gtt 12", "Menthae olei", "12 drop"),
        ("2 g Urea", "Urea", "2 g"),
        ("Urea 500mg", "Urea", "500 mg"),
        ("Paracetamol 120 mg/5 ml", "Paracetamol", "24 mg/mL"),
        ("Zinc oxide 3 parts", "Zinc oxide", "3 parts"),
        ("Ac. citr. q.s. ad pH 5,5", "Ac. citr.", "q.s. until pH 5,5"),
    ],
)
def test_a_quantity_that_says_all_raises_no_doubt(text: str, name: str, quantity: str) -> None:
    assert read(text) == (name, quantity, [])


@pytest.mark.parametrize(
    ("text", "doubt"),
    [
        ("Aquae q.s.", "how_much_is_enough"),
        ("Aquae q.s. 100", "enough_of"),
        ("Zinci oxidi aa", "no_quantity"),
        ("Nystatini 100 000 IE/g", "two_numbers"),
        ("Nystatini 1 250 mg", "two_numbers"),
        ("Nystatini 1.250 mg", "two_ways"),
        ("Iodi gr. V", "gr"),
        ("Tincturae 5 cc", "cc"),
        ("Urea 0", "zero_quantity"),
        ("Urea 10 %", "missing"),
    ],
)
def test_what_could_be_two_things_is_not_proposed(text: str, doubt: str) -> None:
    assert read(text)[1:] == ("", [doubt])


@pytest.mark.parametrize(
    ("text", "quantity", "doubts"),
    [
        ("Urea .5 g", "0,5 g", ["decimal_sign", "naked_decimal"]),
        ("Urea ,5 g", "0,5 g", ["naked_decimal"]),
        ("Urea 2.5", "2,5 g", ["unit_question", "decimal_sign"]),
        ("Hydrocortisoni 1,0 mg", "1 mg", ["trailing_zero"]),
        ("Hydrocortisoni 10 mg", "10 mg", []),
        ("Nystatini 5 Mio. I.E.", "5000000 international unit", ["million"]),
    ],
)
def test_a_writing_that_is_easily_misread_is_a_doubt(
    text: str, quantity: str, doubts: list[str]
) -> None:
    assert read(text)[1:] == (quantity, doubts)


def test_a_per_cent_without_its_kind_is_a_question() -> None:
    assert read("Urea 10 %", "w/w")[1:] == ("10 % w/w", ["percent_kind"])
    assert read("Urea 10 % w/v", "w/w")[1:] == ("10 % w/v", [])


@pytest.mark.parametrize("text", ["Zinci oxidi", "Urea 10 in Vaselin", "", "gtt.", "M.f. ungt."])
def test_a_text_without_a_quantity_has_none(text: str) -> None:
    assert tail_of(text) is None
