"""A line's quantity as people write it."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given

from formulary.catalogue import Catalogue
from formulary.errors import BadText
from formulary.formula.fields_of import kind_text
from formulary.formula.kind_text import parse_kind, read_kind, said
from formulary.formula.kinds import (
    Fixed,
    InParts,
    Kind,
    PerUnit,
    Share,
    ToEndPoint,
    ToFill,
    ToTotal,
)
from formulary.quantity.amount import Amount, Concentration, OneIn, Parts
from tests.helpers.formulas import amount
from tests.helpers.typed import kinds


def percent(number: int, kind: str) -> Share:
    """Return a share in per cent."""
    return Share(Concentration(Fraction(number), f"% {kind}"))


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("10 g", Fixed(amount("10 g"))),
        ("500mg", Fixed(amount("500 mg"))),
        (".5 g", Fixed(amount("0.5 g"))),
        ("1/2 g", Fixed(amount("0.5 g"))),
        ("3 drops", Fixed(amount("3 drops"))),
        ("50000 units", Fixed(amount("50000 units"))),
        ("2 pieces", Fixed(amount("2 pieces"))),
        ("20 mcg", Fixed(amount("20 micrograms"))),
        ("aa 10 g", Fixed(amount("10 g"), each=True)),
        ("aa. 10 g", Fixed(amount("10 g"), each=True)),
        ("ana 10 g", Fixed(amount("10 g"), each=True)),
        ("each 10 mL", Fixed(amount("10 mL"), each=True)),
        ("5 % w/w", percent(5, "w/w")),
        ("5% m/m", percent(5, "w/w")),
        ("9 % w/v", percent(9, "w/v")),
        ("70 % v/v", percent(70, "v/v")),
        ("1 in 1000 w/v", Share(OneIn(Fraction(1000), "w/v"))),
        ("1:1000 w/v", Share(OneIn(Fraction(1000), "w/v"))),
        ("2 mg/g", Share(Concentration(Fraction(2), "mg/g"))),
        ("250 mg/5 mL", Share(Concentration(Fraction(50), "mg/mL"))),
        ("100 units/g", Share(Concentration(Fraction(100), "international unit/g"))),
        ("3 parts", InParts(Parts(Fraction(3)))),
        ("1 part", InParts(Parts(Fraction(1)))),
        ("300 mg per unit", PerUnit(amount("300 mg"))),
        ("300 mg in each dose unit", PerUnit(amount("300 mg"))),
        ("to 100 g", ToTotal(amount("100 g"))),
        ("ad 100 g", ToTotal(amount("100 g"))),
        ("AD 100 g", ToTotal(amount("100 g"))),
        ("up to 100 mL", ToTotal(amount("100 mL"))),
        ("q.s. to 100 g", ToTotal(amount("100 g"))),
        ("q. s. ad 100 g", ToTotal(amount("100 g"))),
        ("qs ad 100 g", ToTotal(amount("100 g"))),
        ("aa ad 100 g", ToTotal(amount("100 g"), shared=True)),
        ("aa  ad  100 g", ToTotal(amount("100 g"), shared=True)),
        ("equal parts to 100 g", ToTotal(amount("100 g"), shared=True)),
        ("aa q.s. ad 100 g", ToTotal(amount("100 g"), shared=True)),
        ("q.s. until pH 5.5", ToEndPoint("pH 5.5")),
        ("q.s. to fill", ToFill()),
        ("q. s. ad fill", ToFill()),
        ("to fill the mould", ToFill()),
        ("until it smells no more", ToEndPoint("it smells no more")),
    ],
)
def test_each_way_of_writing_has_one_meaning(typed: str, kind: Kind) -> None:
    assert parse_kind(typed) == kind


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("aa ad 100,0 g", ToTotal(amount("100 g"), shared=True)),
        ("ad 100,0 g", ToTotal(amount("100 g"))),
        ("1,250 g", Fixed(amount("1.25 g"))),
        ("0,125 g", Fixed(amount("0.125 g"))),
        ("2,5 % w/w", Share(Concentration(Fraction(5, 2), "% w/w"))),
        ("3 Teile", InParts(Parts(Fraction(3)))),
    ],
)
def test_a_house_that_writes_commas(typed: str, kind: Kind) -> None:
    assert parse_kind(typed, ",") == kind


def test_ad_a_hundred_and_a_hundred_are_not_the_same() -> None:
    assert parse_kind("ad 100 g") != parse_kind("100 g")


def test_aa_a_hundred_and_aa_ad_a_hundred_are_not_the_same() -> None:
    assert parse_kind("aa 100 g") != parse_kind("aa ad 100 g")


@pytest.mark.parametrize(
    ("typed", "proposed"),
    [
        ("2,0", Fixed(amount("2 g"))),
        ("100", Fixed(amount("100 g"))),
        ("ad 100,0", ToTotal(amount("100 g"))),
        ("aa 10,0", Fixed(amount("10 g"), each=True)),
        ("aa ad 100,0", ToTotal(amount("100 g"), shared=True)),
    ],
)
def test_a_number_without_unit_is_a_question_for_grams(typed: str, proposed: Kind) -> None:
    reading = read_kind(typed, ",")
    assert reading.kind == proposed
    assert reading.question is not None
    assert Catalogue().text(reading.question)


@pytest.mark.parametrize("typed", ["2,0", "100", "ad 100", "aa 10", "aa ad 100"])
def test_where_nobody_can_be_asked_it_is_refused(typed: str) -> None:
    with pytest.raises(BadText) as caught:
        parse_kind(typed)
    assert caught.value.message.key == "formula.unit_needed"
    assert typed in Catalogue().text(caught.value.message)


def test_with_its_unit_nothing_is_asked() -> None:
    assert read_kind("2,0 g", ",").question is None


@pytest.mark.parametrize("default", ["w/w", "w/v", "v/v"])
def test_a_per_cent_without_its_kind_takes_the_default_if_there_is_one(default: str) -> None:
    assert parse_kind("5 %", default_kind=default) == percent(5, default)
    with pytest.raises(BadText):
        parse_kind("5 %")


@pytest.mark.parametrize(
    "typed",
    [
        "",
        " ",
        "1,250 g",
        "5 u",
        "5 gr",
        "5 spoons",
        "5 %",
        "1:1000",
        "0 g",
        "0 % w/w",
        "0 parts",
        "0 mg/g",
        "0 g per unit",
        "to 0 g",
        "aa ad 0 mL",
        "-5 g",
        "5e3 g",
        "to 5 % w/w",
        "aa 5 % w/w",
        "aa 3 parts",
        "to",
        "aa",
        "ad pH 5.5",
        "5 g 3 mL",
        "2:1000 w/v",
        "ten grams",
        "NaN g",
        "\u0665 g",
        "9" * 100 + " g",
        "5 mmol",
        "5 mmol/mL",
        "2 mg/cm2",
    ],
)
def test_what_has_no_meaning_or_more_than_one_is_refused_with_a_sentence(typed: str) -> None:
    with pytest.raises(BadText) as caught:
        parse_kind(typed)
    assert Catalogue().text(caught.value.message)


@given(kinds())
def test_every_kind_is_written_so_that_it_reads_back(kind: Kind) -> None:
    if isinstance(kind, ToEndPoint):
        kind = ToEndPoint(kind.end_point)  # what is usually needed has a field of its own
    assert parse_kind(kind_text(kind)) == kind
    assert parse_kind(kind_text(kind, ","), ",") == kind


@pytest.mark.parametrize("sign", [".", ","])
@pytest.mark.parametrize(
    "typed",
    [
        "0.5 g",
        "aa 10 g",
        "5 % w/w",
        "1 in 1000 w/v",
        "2 mg/g",
        "3 parts",
        "300 mg per unit",
        "to 100 g",
        "aa ad 100 mL",
        "q.s. until pH 5.5",
        "20 micrograms",
        "12 000 units",
    ],
)
def test_what_is_said_in_english_reads_back(typed: str, sign: str) -> None:
    kind = parse_kind(typed)
    assert parse_kind(Catalogue("en", sign).text(said(kind)), sign) == kind


def test_an_amount_with_a_third_is_written_as_a_fraction() -> None:
    assert kind_text(Fixed(Amount(Fraction(100, 3), "g"))) == "100/3 g"
