"""A delivery as it is typed."""

from __future__ import annotations

from contextlib import suppress
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.errors import BadText, Refusal
from formulary.formula.content import Period, Span
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.money import Money
from formulary.stock.cost import UnitCost
from formulary.stock.delivery_text import Arriving, Delivery, read_cost, read_delivery, read_sizes
from formulary.stock.expiry import Precision
from formulary.stock.lot import AssayBasis, Source
from tests.formulary.stock.shelf import grams

EMPTY = dict.fromkeys(
    (
        "strength",
        "supplier",
        "maker",
        "grade",
        "expiry",
        "place",
        "in_use",
        "assay",
        "water",
        "loss_on_drying",
        "potency",
        "hazards",
        "allergens",
        "cost",
    ),
    "",
)
TEXTS = EMPTY | {
    "source": "substance",
    "number": " ZN-4711 ",
    "basis": "as is",
    "containers": "2 x 500 g; 250 g",
    "expiry": "2027-03",
}


def read(sign: str = ".", **texts: str) -> Delivery:
    arriving = Arriving("lot-1", "zinc oxide", date(2026, 3, 2), "Ada Berg", sign)
    return read_delivery(TEXTS | texts, arriving)


def test_a_delivery_is_read_into_a_lot_and_its_containers() -> None:
    came = read(supplier="Tidewater", hazards="irritant; dust", in_use="3 months")
    assert (came.lot.number, came.lot.supplier) == ("ZN-4711", "Tidewater")
    assert (came.lot.expiry.last_day, came.lot.expiry.precision) == (
        date(2027, 3, 31),
        Precision.MONTH,
    )
    assert came.lot.hazards == ("irritant", "dust")
    assert came.sizes == (grams(500), grams(500), grams(250))
    assert came.in_use == Period(3, Span.MONTHS)


def test_without_a_date_one_is_assigned_by_whoever_receives_it() -> None:
    expiry = read(expiry="").lot.expiry
    assert (expiry.last_day, expiry.assigned_by) == (date(2027, 3, 1), "Ada Berg")


def test_the_certificate_s_figures_are_read_in_the_house_s_decimal_sign() -> None:
    analysis = read(",", assay="97,2 %", basis="dried", loss_on_drying="1,2").lot.analysis
    assert (analysis.assay, analysis.basis) == (Fraction("97.2"), AssayBasis.DRIED)
    assert analysis.loss == Fraction("1.2")


def test_a_concentrate_has_a_strength_and_a_tablet_an_amount() -> None:
    concentrate = read(source="concentrate", strength="20 % w/v").lot
    assert concentrate.strength == Concentration(Fraction(20), "% w/v")
    tablet = read(source="tablet or capsule", strength="25 mg", containers="28 pieces").lot
    assert (tablet.source, tablet.strength) == (Source.UNITS, Amount(Fraction(25), "mg"))


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("number", " "),
        ("containers", ""),
        ("containers", "500"),
        ("containers", "201 x 5 g"),
        ("expiry", "31.03.2027"),
        ("strength", "20 % w/v"),
        ("in_use", "soon"),
        ("assay", "high"),
        ("assay", "-3"),
        ("water", "100"),
        ("cost", "cheap"),
        ("cost", "12.50 EUR / 0 g"),
    ],
)
def test_what_can_t_be_read_is_told_at_its_field(field: str, text: str) -> None:
    with pytest.raises(BadText) as refused:
        read(**{field: text})
    assert refused.value.field == field


def test_a_cost_is_a_price_for_an_amount() -> None:
    assert read_cost("12.50 EUR / 100 g") == UnitCost(Money(Fraction("12.5"), "EUR"), grams(100))
    assert read_cost(" ") is None


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    for reader in (read_sizes, read_cost):
        with suppress(Refusal):
            reader(text)
