"""Kinds of source are kept apart, and a certificate corrects only by what it states."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from formulary.calculations.corrections import Basis, correction
from formulary.canonical import from_plain, to_plain
from formulary.errors import Refusal, UnitMismatch
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.quantity.money import Money
from formulary.signing import Meaning
from formulary.stock.cost import UnitCost, cost_of
from formulary.stock.lot import (
    Analysis,
    AssayBasis,
    Halt,
    LotStrength,
    Source,
    Stop,
    SupplyLot,
    certificate_of,
)
from tests.formulary.stock.shelf import ACCEPTED, container, grams, move, signed, text

ONE_IN_TEN = OneIn(Fraction(10), "w/w")
FIVE_MG = Amount(Fraction(5), "mg")


@pytest.mark.parametrize(
    ("source", "strength"),
    [
        (Source.SUBSTANCE, ONE_IN_TEN),
        (Source.BASE, Concentration(Fraction(2), "% w/w")),
        (Source.CONCENTRATE, None),
        (Source.CONCENTRATE, FIVE_MG),
        (Source.UNITS, None),
        (Source.UNITS, ONE_IN_TEN),
        (Source.INTERMEDIATE, FIVE_MG),
    ],
)
def test_a_strength_that_the_kind_cant_have_is_refused(
    source: Source, strength: LotStrength | None
) -> None:
    with pytest.raises(Refusal) as refused:
        replace(ACCEPTED, source=source, strength=strength)
    assert "kind of source" in text(refused.value)


def test_a_strength_is_above_zero() -> None:
    with pytest.raises(Refusal, match="no_strength"):
        replace(ACCEPTED, source=Source.UNITS, strength=Amount(Fraction(0), "mg"))


def test_a_lot_has_a_number() -> None:
    with pytest.raises(Refusal, match="no_number"):
        replace(ACCEPTED, number=" ")


def test_the_bases_are_those_that_scaling_corrects_by() -> None:
    assert [each.value for each in AssayBasis] == [each.value for each in Basis]


def test_without_an_assay_nothing_is_corrected() -> None:
    assert certificate_of(ACCEPTED) is None


def test_an_assay_on_the_dried_substance_takes_the_loss_on_drying() -> None:
    analysis = Analysis(
        assay=Fraction("93.5"),
        basis=AssayBasis.DRIED,
        water=Fraction(9),
        loss_on_drying=Fraction("3.68"),
    )
    certificate = certificate_of(replace(ACCEPTED, analysis=analysis))
    assert certificate is not None
    # Worked example of the correction's own source: 1.11.
    assert round(correction(certificate).result, 2) == Fraction("1.11")


def test_a_loss_that_the_basis_needs_is_asked_for() -> None:
    analysis = Analysis(assay=Fraction(99), basis=AssayBasis.ANHYDROUS, loss_on_drying=Fraction(1))
    with pytest.raises(Refusal) as refused:
        certificate_of(replace(ACCEPTED, analysis=analysis))
    assert "ZN-4711" in text(refused.value)


def test_a_concentrate_may_be_stronger_than_it_says() -> None:
    stronger = replace(
        ACCEPTED,
        source=Source.CONCENTRATE,
        strength=ONE_IN_TEN,
        analysis=Analysis(assay=Fraction(105)),
    )
    certificate = certificate_of(stronger)
    assert certificate is not None
    assert correction(certificate).result < 1


@pytest.mark.parametrize("strength", [ONE_IN_TEN, Concentration(Fraction(10), "% w/w")])
def test_lots_containers_and_moves_are_kept_as_they_are(strength: LotStrength) -> None:
    lot = replace(
        ACCEPTED,
        source=Source.CONCENTRATE,
        strength=strength,
        stop=Stop(Halt.FROZEN, "fridge too warm", signed(Meaning.DECIDED)),
        cost=UnitCost(Money(Fraction("12.50"), "EUR"), grams(100)),
    )
    assert from_plain(SupplyLot, to_plain(lot)) == lot
    for kept in (container(), move(grams(-3))):
        assert from_plain(type(kept), to_plain(kept)) == kept


def test_a_cost_is_exact() -> None:
    cost = UnitCost(Money(Fraction("12.50"), "EUR"), grams(300))
    working = cost_of(grams(7), cost)
    assert working.result == Money(Fraction(7, 24), "EUR")
    assert "12.5" in text(working.steps[0])


def test_a_mass_has_no_price_by_volume() -> None:
    cost = UnitCost(Money(Fraction(3), "EUR"), Amount(Fraction(100), "mL"))
    with pytest.raises(UnitMismatch):
        cost_of(grams(1), cost)


def test_a_price_for_nothing_is_refused() -> None:
    with pytest.raises(Refusal, match="impossible"):
        UnitCost(Money(Fraction(3), "EUR"), grams(0))
