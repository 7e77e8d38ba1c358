"""Quantities as the program writes them.

The rules are those of ISMP's list of error-prone abbreviations and the Joint Commission's
do-not-use list: no trailing zero, no naked decimal, grouped thousands, micrograms in words, a
space before the unit.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.catalogue import Catalogue
from formulary.errors import BadText
from formulary.quantity import writing
from formulary.quantity.amount import Amount, Concentration, OneIn, Parts
from formulary.quantity.money import Money
from formulary.quantity.parsing import parse_amount, parse_concentration

ENGLISH = Catalogue("en").words
GERMAN = Catalogue("de").words


def visible(text: str) -> str:
    return text.replace("\u00a0", "_").replace("\u202f", "~")


@pytest.mark.parametrize(
    ("number", "with_point", "with_comma"),
    [
        ("5", "5", "5"),
        ("1/2", "0.5", "0,5"),
        ("-1/2", "\u22120.5", "\u22120,5"),
        ("1250", "1250", "1250"),
        ("12500", "12~500", "12~500"),
        ("1000000", "1~000~000", "1~000~000"),
        ("100000001/1000", "100~000.001", "100~000,001"),
        ("1/1048576", "0.00000095367431640625", "0,00000095367431640625"),
        ("1/3", "0.333333333333", "0,333333333333"),
        ("200/3", "66.6666666667", "66,6666666667"),
        ("1/3000", "0.000333333333333", "0,000333333333333"),
        ("100000000000001/3", "33~333~333~333~300", "33~333~333~333~300"),
        ("2999999999999/3000000000000", "1", "1"),
        ("0", "0", "0"),
    ],
)
def test_a_number_says_all_and_no_empty_zeros(
    number: str, with_point: str, with_comma: str
) -> None:
    assert visible(writing.write_number(Fraction(number), ".")) == with_point
    assert visible(writing.write_number(Fraction(number), ",")) == with_comma


def test_decimals_can_be_limited_for_a_reader() -> None:
    assert writing.write_number(Fraction(2, 3), ".", places=2) == "0.67"
    assert writing.write_number(Fraction(1, 2), ".", places=2) == "0.5"
    assert writing.write_number(Fraction(5, 2), ".", places=0) == "2"


def test_a_reading_keeps_the_figures_of_its_balance() -> None:
    assert writing.write_reading(Fraction(10), ".", 2) == "10.00"
    assert writing.write_reading(Fraction(-1, 20), ",", 3) == "-0,050"
    assert writing.write_reading(Fraction(7), ",", 0) == "7"
    with pytest.raises(ValueError, match="more than 2 decimals"):
        writing.write_reading(Fraction(1, 1000), ".", 2)


@pytest.mark.parametrize(
    ("typed", "english", "german"),
    [
        ("5.0 mg", "5_mg", "5_mg"),
        (".5 mg", "0.5_mg", "0,5_mg"),
        ("5mg", "5_mg", "5_mg"),
        ("1000000 units", "1~000~000_international units", "1~000~000_Internationale Einheiten"),
        ("1 mcg", "1_microgram", "1_Mikrogramm"),
        ("20 mcg", "20_micrograms", "20_Mikrogramm"),
        ("5 ng", "5_nanograms", "5_Nanogramm"),
        ("1 gtt", "1_drop", "1_Tropfen"),
        ("3 gtt", "3_drops", "3_Tropfen"),
        ("1 IU", "1_international unit", "1_Internationale Einheit"),
        ("20 pcs", "20_pieces", "20_St\u00fcck"),
    ],
)
def test_what_was_typed_carelessly_is_written_safely(typed: str, english: str, german: str) -> None:
    amount = parse_amount(typed)
    assert visible(writing.write_amount(amount, ".", ENGLISH)) == english
    assert visible(writing.write_amount(amount, ",", GERMAN)) == german


def test_micrograms_are_spelt_out_even_without_a_language() -> None:
    assert writing.write_amount(Amount(Fraction(2), "microgram"), ".", {}) == "2\u00a0microgram"


def test_strengths_are_written_in_the_readers_language() -> None:
    five = Concentration(Fraction(5), "% w/w")
    assert visible(writing.write_concentration(five, ".", ENGLISH)) == "5_%_w/w"
    assert visible(writing.write_concentration(five, ",", GERMAN)) == "5_%_m/m"
    units_in_g = Concentration(Fraction(100000), "international unit/g")
    written = visible(writing.write_concentration(units_in_g, ".", ENGLISH))
    assert written == "100~000_international units/g"


def test_ratios_and_parts_are_written_in_the_readers_language() -> None:
    ratio = OneIn(Fraction(1000), "w/v")
    assert visible(writing.write_one_in(ratio, ".", ENGLISH)) == "1_in_1000_w/v"
    assert visible(writing.write_one_in(ratio, ",", GERMAN)) == "1_zu_1000_m/V"
    assert visible(writing.write_parts(Parts(Fraction(3)), ".", ENGLISH)) == "3_parts"
    assert visible(writing.write_parts(Parts(Fraction(1)), ",", GERMAN)) == "1_Teil"


def test_a_strength_below_one_milligram_reads_in_micrograms() -> None:
    """0.05 mg in 5 mL is 10 micrograms/mL (= 0.01 mg/mL); NZ HQSC's error-prone list."""
    strength = parse_concentration("0.05 mg in 5 mL")
    assert strength == Concentration(Fraction(1, 100), "mg/mL")
    shown = writing.convenient_strength(strength)
    assert visible(writing.write_concentration(shown, ".", ENGLISH)) == "10_micrograms/mL"


def test_a_per_cent_has_no_more_convenient_unit() -> None:
    strength = Concentration(Fraction(1, 1000), "% w/w")
    assert writing.convenient_strength(strength) is strength


@pytest.mark.parametrize(
    ("typed", "convenient"),
    [
        ("0.5 g", "0.5 g"),
        ("500 mg", "0.5 g"),
        ("0.05 g", "50 mg"),
        ("0.5 mg", "500 microgram"),
        ("0.5 microgram", "500 nanogram"),
        ("2 kg", "2000 g"),
        ("0.05 mL", "50 microlitre"),
        ("1.5 L", "1500 mL"),
        ("0 mg", "0 mg"),
        ("2500 drops", "2500 drop"),
    ],
)
def test_the_convenient_unit_keeps_grams_from_a_tenth_on(typed: str, convenient: str) -> None:
    assert writing.convenient(parse_amount(typed)) == parse_amount(convenient)


@pytest.mark.parametrize(
    ("typed", "convenient"),
    [("2500 g", "2.5 kg"), ("2500 mL", "2.5 L"), ("999 g", "999 g"), ("999 mL", "999 mL")],
)
def test_kilograms_and_litres_are_used_when_asked_for(typed: str, convenient: str) -> None:
    assert writing.convenient(parse_amount(typed), large=True) == parse_amount(convenient)


def test_wires_carry_a_point_and_no_groups() -> None:
    assert writing.plain_number(Fraction(2500001, 2)) == "1250000.5"
    assert writing.plain_number(Fraction(-1, 8)) == "-0.125"
    assert writing.plain_number(Fraction(-2, 3)) == "-0.666666666667"


@pytest.mark.parametrize(("number", "stored"), [("100/3", "100/3"), ("1/8", "0.125"), ("-5", "-5")])
def test_storage_loses_nothing(number: str, stored: str) -> None:
    assert writing.exact_text(Fraction(number)) == stored
    assert writing.from_exact_text(stored) == Fraction(number)


@pytest.mark.parametrize(
    "stored", ["", "1,5", "1e3", "1/0", "1.", ".5", "nan", " 1", "1_000", "1\n"]
)
def test_a_damaged_stored_number_is_refused(stored: str) -> None:
    with pytest.raises(BadText) as refused:
        writing.from_exact_text(stored)
    assert refused.value.message.key == "quantity.not_exact"


@pytest.mark.parametrize(
    ("text", "held"),
    [
        ("Zinc paste 25 %", "Zinc paste 25_%"),
        ("10 % w/w", "10_%_w/w"),
        ("5 mL in 100 g", "5_mL in 100_g"),
        ("100 000 international units", "100_000_international_units"),
        ("Apply thinly", "Apply thinly"),
    ],
)
def test_a_figure_stays_with_its_unit_at_the_end_of_a_line(text: str, held: str) -> None:
    assert writing.held_together(text).replace(writing.NO_BREAK_SPACE, "_") == held


@pytest.mark.parametrize(
    ("number", "currency", "minor_units", "with_point", "with_comma"),
    [
        ("53.3", "EUR", 2, "53.30_EUR", "53,30_EUR"),
        ("8", "EUR", 2, "8.00_EUR", "8,00_EUR"),
        ("0", "EUR", 2, "0.00_EUR", "0,00_EUR"),
        ("120", "JPY", 0, "120_JPY", "120_JPY"),
        ("1.5", "KWD", 3, "1.500_KWD", "1,500_KWD"),
        ("12345.6", "EUR", 2, "12~345.60_EUR", "12~345,60_EUR"),
        ("18.455", "EUR", 2, "18.455_EUR", "18,455_EUR"),
    ],
)
def test_money_is_written_with_all_its_minor_units(
    number: str, currency: str, minor_units: int, with_point: str, with_comma: str
) -> None:
    money = Money(Fraction(number), currency, minor_units)
    assert visible(writing.write_money(money, ".")) == with_point
    assert visible(writing.write_money(money, ",")) == with_comma
    plain = with_point.replace("~", "").partition("_")[0]
    assert writing.plain_money(money) == plain
    assert Catalogue().written(money) == writing.write_money(money, ".")


def test_money_is_never_a_binary_fraction() -> None:
    with pytest.raises(TypeError):
        Money(53.3, "EUR")  # type: ignore[arg-type]


def test_a_line_of_a_sum_stands_in_one_unit() -> None:
    litre, some = Amount(Fraction(1), "L"), Amount(Fraction(5), "mL")
    line = writing.in_one_unit(total=litre, stock=some, diluent=litre - some)
    assert {each.unit for each in line.values()} == {"mL"}
    assert line["diluent"] == Amount(Fraction(995), "mL")
    far = {"total": Amount(Fraction(2), "kg"), "active": Amount(Fraction(1), "mg")}
    assert writing.in_one_unit(**far) == far
