"""Quantities as people type them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.errors import BadText
from formulary.messages import message
from formulary.quantity.amount import Amount, Concentration, OneIn, Parts
from formulary.quantity.parsing import (
    Multiple,
    Reading,
    Strength,
    parse_amount,
    parse_concentration,
    parse_multiple,
    parse_quantity,
    read_amount,
)
from formulary.quantity.writing import Words

MICROGRAMS: Words = {"microgram": lambda number: "microgram" if number == 1 else "micrograms"}


def grams(number: int | str) -> Amount:
    return Amount(Fraction(number), "g")


@pytest.mark.parametrize(
    ("typed", "amount"),
    [
        ("0,5 g", grams("1/2")),
        ("1,5 g", grams("3/2")),
        (".5 g", grams("1/2")),
        ("5.0 g", grams(5)),
        ("1/2 g", grams("1/2")),
        ("1 000 g", grams(1000)),
        ("1\u202f000\u00a0g", grams(1000)),
        ("500mg", Amount(Fraction(500), "mg")),
        ("5 mg.", Amount(Fraction(5), "mg")),
        ("1l", Amount(Fraction(1), "L")),
        ("20 mcg", Amount(Fraction(20), "microgram")),
        ("20 \u00b5g", Amount(Fraction(20), "microgram")),
        ("20 \u03bcg", Amount(Fraction(20), "microgram")),
        ("3 gtt", Amount(Fraction(3), "drop")),
        ("100 000 IU", Amount(Fraction(100000), "international unit")),
    ],
)
def test_an_amount_is_read_exactly(typed: str, amount: Amount) -> None:
    assert parse_amount(typed) == amount


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("5 g g", "quantity.unit.unknown"),
        ("5 furlongs", "quantity.unit.unknown"),
        ("5 u", "quantity.unit.u"),
        ("5 gr", "quantity.unit.gr"),
        ("five", "quantity.number.missing"),
        ("g 5", "quantity.number.missing"),
        ("NaN g", "quantity.number.missing"),
        ("1e3 g", "quantity.number.exponent"),
        ("-5 g", "quantity.number.negative"),
        ("5-10 g", "quantity.number.unreadable"),
        ("1,250 g", "quantity.number.two_ways"),
        ("\u0665 g", "quantity.number.foreign_digits"),
        ("", "quantity.number.empty"),
        ("5 % w/w", "quantity.amount_expected"),
        ("2 mg/mL", "quantity.amount_expected"),
        ("1:1000 w/v", "quantity.amount_expected"),
    ],
)
def test_what_is_no_amount_is_refused_with_its_reason(typed: str, key: str) -> None:
    with pytest.raises(BadText) as refused:
        parse_amount(typed)
    assert refused.value.message.key == key


def test_a_number_without_unit_is_refused_and_the_proposal_named() -> None:
    with pytest.raises(BadText) as refused:
        parse_amount("2,0")
    assert refused.value.message == message("quantity.unit_missing", typed="2,0", amount=grams(2))


def test_a_prescribed_number_without_unit_becomes_a_question() -> None:
    question = message("quantity.unit_question", typed="2,0", amount=grams(2))
    assert read_amount("2,0", ",") == Reading(grams(2), "2\u00a0g", question)


@pytest.mark.parametrize(
    ("typed", "rewritten"),
    [
        (".5 g", "0.5\u00a0g"),
        ("5.0 g", "5\u00a0g"),
        ("5 mg.", "5\u00a0mg"),
        ("500mg", "500\u00a0mg"),
        ("12500 g", "12\u202f500\u00a0g"),
        ("20 mcg", "20\u00a0micrograms"),
        ("1 microgram", None),
        ("0.5 g", None),
        ("12 500 g", None),
        ("1/3 g", None),
    ],
)
def test_an_amount_is_rewritten_safely_if_that_says_exactly_the_same(
    typed: str, rewritten: str | None
) -> None:
    reading = read_amount(typed, ".", MICROGRAMS)
    assert reading.rewritten == rewritten
    assert reading.question is None


@pytest.mark.parametrize(
    ("typed", "strength"),
    [
        ("5 % w/w", Concentration(Fraction(5), "% w/w")),
        ("5% (w/v)", Concentration(Fraction(5), "% w/v")),
        ("0,1 % m/m", Concentration(Fraction(1, 10), "% w/w")),
        ("0,1 % m/V", Concentration(Fraction(1, 10), "% w/v")),
        ("70 per cent V/V", Concentration(Fraction(70), "% v/v")),
        ("1:1000 w/v", OneIn(Fraction(1000), "w/v")),
        ("1 in 1000 w/v", OneIn(Fraction(1000), "w/v")),
        ("1 zu 10 000 (m/m)", OneIn(Fraction(10000), "w/w")),
        ("100/3 % w/w", Concentration(Fraction(100, 3), "% w/w")),
        ("100/3 mg/mL", Concentration(Fraction(100, 3), "mg/mL")),
        ("1 in 100/3 w/v", OneIn(Fraction(100, 3), "w/v")),
        ("2 mg/g", Concentration(Fraction(2), "mg/g")),
        ("2mg/mL", Concentration(Fraction(2), "mg/mL")),
        ("10 mg per g", Concentration(Fraction(10), "mg/g")),
        ("1/2 mg / mL", Concentration(Fraction(1, 2), "mg/mL")),
        ("250 mg/5 mL", Concentration(Fraction(50), "mg/mL")),
        ("0.05 mg in 5 mL", Concentration(Fraction(1, 100), "mg/mL")),
        ("100 000 IU/g", Concentration(Fraction(100000), "international unit/g")),
        ("5 I.U./mL", Concentration(Fraction(5), "international unit/mL")),
    ],
)
def test_a_strength_is_read_exactly(typed: str, strength: Strength) -> None:
    assert parse_concentration(typed) == strength
    assert parse_quantity(typed) == strength


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("5 %", "quantity.kind.missing"),
        ("1:1000", "quantity.kind.missing"),
        ("5 % x/y", "quantity.kind.unknown"),
        ("2:1000 w/v", "quantity.ratio"),
        ("1 in 0 w/v", "quantity.ratio"),
        ("2 mg/0 mL", "quantity.in_nothing"),
        ("2 mg/5", "quantity.unit.unknown"),
        ("2 mg/furlong", "quantity.unit.unknown"),
        ("1,250 mg/g", "quantity.number.two_ways"),
        ("-5 % w/w", "quantity.number.negative"),
        ("5 g", "quantity.strength_expected"),
        ("5", "quantity.strength_expected"),
        ("", "quantity.strength_expected"),
    ],
)
def test_what_is_no_strength_is_refused_with_its_reason(typed: str, key: str) -> None:
    with pytest.raises(BadText) as refused:
        parse_concentration(typed)
    assert refused.value.message.key == key


def test_the_formula_may_say_what_a_bare_per_cent_or_ratio_means() -> None:
    assert parse_concentration("5 %", default_kind="w/w") == Concentration(Fraction(5), "% w/w")
    assert parse_concentration("1:50", default_kind="v/v") == OneIn(Fraction(50), "v/v")
    assert parse_concentration("5 % w/v", default_kind="w/w") == Concentration(Fraction(5), "% w/v")
    with pytest.raises(ValueError, match="a kind is one of"):
        parse_concentration("5 %", default_kind="m/m")


@pytest.mark.parametrize(
    ("typed", "number"), [("3 parts", "3"), ("1 part", "1"), ("2,5 Teile", "5/2"), ("1Teil", "1")]
)
def test_parts_are_read(typed: str, number: str) -> None:
    assert parse_quantity(typed) == Parts(Fraction(number))


def test_a_quantity_may_be_an_amount() -> None:
    assert parse_quantity("0,125 g") == grams("1/8")


@pytest.mark.parametrize(
    ("typed", "multiple"),
    [
        ("3 x 60 g", Multiple(3, grams(60))),
        ("3x60g", Multiple(3, grams(60))),
        ("2 \u00d7 60 g", Multiple(2, grams(60))),
        ("12 X 0,5 g", Multiple(12, grams("1/2"))),
        ("60 g", Multiple(1, grams(60))),
    ],
)
def test_containers_are_counted(typed: str, multiple: Multiple) -> None:
    assert parse_multiple(typed) == multiple


@pytest.mark.parametrize("typed", ["0 x 60 g", "1.5 x 60 g", "60 g x 3", "six x 60 g", "-1 x 60 g"])
def test_only_a_whole_number_of_containers_is_a_count(typed: str) -> None:
    with pytest.raises(BadText) as refused:
        parse_multiple(typed)
    assert refused.value.message.key == "quantity.count"
