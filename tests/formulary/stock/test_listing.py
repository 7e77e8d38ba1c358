"""The stock as it is listed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

import pytest

from formulary.formula.content import Period, Span
from formulary.quantity.amount import Amount
from formulary.signing import Meaning
from formulary.stock.expiry import Expiry
from formulary.stock.listing import Standing, counts, listed, standing, total
from formulary.stock.lot import Halt, Status, Stop, SupplyLot
from formulary.stock.shelf import Holding
from tests.formulary.stock.shelf import ACCEPTED, TODAY, container, grams, holding, signed

FAR = TODAY + timedelta(days=400)


def of(lot: SupplyLot, **changes: object) -> Holding:
    return Holding(container(1, **changes), lot, grams(10))


STOPPED = {
    halt: replace(ACCEPTED, stop=Stop(halt, "odd smell", signed(Meaning.DECIDED))) for halt in Halt
}


@pytest.mark.parametrize(
    ("held", "expected"),
    [
        (holding(1, FAR), Standing.USABLE),
        (holding(1, TODAY + timedelta(days=31)), Standing.USABLE),
        (holding(1, TODAY + timedelta(days=30)), Standing.EXPIRING),
        (holding(1, TODAY), Standing.EXPIRING),
        (holding(1, TODAY - timedelta(days=1)), Standing.EXPIRED),
        (of(STOPPED[Halt.FROZEN]), Standing.FROZEN),
        (of(STOPPED[Halt.RECALLED]), Standing.RECALLED),
        (of(replace(ACCEPTED, status=Status.REJECTED)), Standing.REJECTED),
        (of(replace(ACCEPTED, status=Status.QUARANTINE)), Standing.QUARANTINE),
        (
            of(ACCEPTED, opened_on=date(2026, 1, 1), in_use=Period(3, Span.MONTHS)),
            Standing.OPEN_TOO_LONG,
        ),
    ],
)
def test_a_lot_stands_as_the_most_urgent_that_applies(held: Holding, expected: Standing) -> None:
    assert standing([held], TODAY) is expected


def test_an_expired_lot_that_is_recalled_counts_as_recalled() -> None:
    both = replace(STOPPED[Halt.RECALLED], expiry=Expiry(TODAY - timedelta(days=1)))
    assert standing([of(both)], TODAY) is Standing.RECALLED


def test_lots_are_listed_by_ingredient_and_date_with_the_sum_of_their_containers() -> None:
    late, soon = holding(1, FAR), holding(2, TODAY)
    more = replace(late, container=container(3, lot_id=late.lot.id))
    talc = replace(soon, lot=replace(soon.lot, id="lot-9", ingredient_id="talc"))
    found = listed([late, talc, more, soon], {"zinc oxide": "Zinc oxide", "talc": "Talc"}, TODAY)
    assert [(each.ingredient, each.until) for each in found] == [
        ("Talc", TODAY),
        ("Zinc oxide", TODAY),
        ("Zinc oxide", FAR),
    ]
    assert found[2].on_hand == (grams(200),)
    assert [each.days_left(TODAY) for each in found] == [0, 0, 400]
    assert counts(found)[Standing.EXPIRING] == 2


def test_mass_and_volume_stand_beside_each_other() -> None:
    wet = replace(holding(2, FAR), on_hand=Amount(Fraction(5), "mL"))
    kilo = replace(holding(3, FAR), on_hand=Amount(Fraction(1), "kg"))
    assert total([holding(1, FAR), wet, kilo]) == (grams(1100), Amount(Fraction(5), "mL"))
