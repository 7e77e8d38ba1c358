"""Nothing is weighed from a container that may not be, and each refusal says what to do."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from formulary.errors import Refusal
from formulary.formula.content import Period, Span
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.signing import Meaning
from formulary.stock.container import (
    StockContainer,
    emptied,
    identify,
    lasts_until,
    obstacle,
    opened,
    require_weighable,
    second_opened,
)
from formulary.stock.expiry import Expiry
from formulary.stock.lot import Halt, LotStrength, Source, Status, Stop, SupplyLot
from formulary.stock.matching import Wanted, mismatch, same_strength
from tests.formulary.stock.shelf import (
    ACCEPTED,
    FAILED,
    IDENTIFIED,
    TODAY,
    ZINC,
    container,
    signed,
    text,
)

RECALLED = Stop(Halt.RECALLED, "supplier’s letter", signed(Meaning.DECIDED))
FROZEN = Stop(Halt.FROZEN, "fridge too warm", signed(Meaning.DECIDED))


def test_an_accepted_identified_container_within_its_date_is_weighed_from() -> None:
    require_weighable(container(), ACCEPTED, ZINC, TODAY)
    assert obstacle(container(), ACCEPTED, ACCEPTED.expiry.last_day) is None


@pytest.mark.parametrize(
    ("lot", "jar", "said"),
    [
        (replace(ACCEPTED, status=Status.QUARANTINE), container(), "quarantine"),
        (replace(ACCEPTED, status=Status.REJECTED), container(), "rejected"),
        (replace(ACCEPTED, stop=FROZEN), container(), "fridge too warm"),
        (replace(ACCEPTED, stop=RECALLED), container(), "supplier’s letter"),
        (replace(ACCEPTED, expiry=Expiry(date(2026, 5, 3))), container(), "3 May 2026"),
        (ACCEPTED, container(identity=None), "identified"),
        (ACCEPTED, container(identity=FAILED), "failed"),
        (ACCEPTED, container(emptied_on=date(2026, 5, 1)), "emptied"),
        (
            ACCEPTED,
            container(opened_on=date(2026, 3, 1), in_use=Period(1, Span.MONTHS)),
            "31 Mar 2026",
        ),
    ],
)
def test_anything_else_is_a_hard_stop_with_its_sentence(
    lot: SupplyLot, jar: StockContainer, said: str
) -> None:
    with pytest.raises(Refusal) as refused:
        require_weighable(jar, lot, ZINC, TODAY)
    assert said in text(refused.value)


def test_what_was_made_here_is_known_by_its_release() -> None:
    made = replace(ACCEPTED, source=Source.INTERMEDIATE)
    assert obstacle(container(identity=None), made, TODAY) is None
    assert obstacle(container(identity=FAILED), made, TODAY) is not None


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        (Wanted("zinc sulfate", Source.SUBSTANCE), "another ingredient"),
        (Wanted("zinc oxide", Source.BASE), "asks for a base"),
        (Wanted("zinc oxide", Source.UNITS, Amount(Fraction(5), "mg")), "tablet or capsule"),
    ],
)
def test_another_substance_or_kind_is_a_hard_stop(wanted: Wanted, said: str) -> None:
    with pytest.raises(Refusal) as refused:
        require_weighable(container(), ACCEPTED, wanted, TODAY)
    assert said in text(refused.value)


def test_another_strength_is_a_hard_stop() -> None:
    lot = replace(ACCEPTED, source=Source.CONCENTRATE, strength=OneIn(Fraction(10), "w/w"))
    wanted = Wanted("zinc oxide", Source.CONCENTRATE, OneIn(Fraction(100), "w/w"))
    assert "1 in 10" in text(mismatch(lot, wanted))
    assert "none" in text(mismatch(lot, replace(wanted, strength=None)))


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        (OneIn(Fraction(10), "w/w"), Concentration(Fraction(10), "% w/w"), True),
        (OneIn(Fraction(10), "w/w"), Concentration(Fraction(100), "mg/g"), True),
        (OneIn(Fraction(10), "w/w"), Concentration(Fraction(10), "% w/v"), False),
        (Concentration(Fraction(20), "mg/mL"), Concentration(Fraction(2), "% w/v"), True),
        (Concentration(Fraction(20), "mL/L"), Concentration(Fraction(2), "% v/v"), True),
        (Amount(Fraction(1, 2), "g"), Amount(Fraction(500), "mg"), True),
        (Amount(Fraction(5), "mg"), Amount(Fraction(5), "international unit"), False),
        (Amount(Fraction(5), "mg"), None, False),
        (
            Concentration(Fraction(100), "international unit/g"),
            Concentration(Fraction(100), "international unit/mL"),
            False,
        ),
        (None, None, True),
    ],
)
def test_a_strength_is_the_same_however_it_is_written(
    one: LotStrength | None,
    other: LotStrength | None,
    same: bool,  # noqa: FBT001  a column of the table
) -> None:
    assert same_strength(one, other) is same
    assert same_strength(other, one) is same


def test_only_the_first_opening_starts_the_clock() -> None:
    jar = opened(container(), TODAY)
    assert opened(jar, date(2026, 6, 1)).opened_on == TODAY


def test_once_open_a_container_lasts_its_life_in_use() -> None:
    jar = opened(container(in_use=Period(2, Span.WEEKS)), TODAY)
    assert lasts_until(jar, ACCEPTED).result == date(2026, 5, 17)


def test_a_failed_identity_check_isnt_tried_until_it_passes() -> None:
    assert identify(container(identity=None), IDENTIFIED).identity == IDENTIFIED
    with pytest.raises(Refusal, match="wrong_identity"):
        identify(container(identity=FAILED), IDENTIFIED)


def test_an_identity_check_is_signed_as_such() -> None:
    wrong = replace(IDENTIFIED, signature=signed(Meaning.CHECKED))
    with pytest.raises(ValueError, match="signed as such"):
        identify(container(), wrong)


def test_a_second_container_isnt_opened_without_a_note() -> None:
    in_use = opened(container(2), TODAY)
    (finding,) = second_opened(container(1), (container(1), in_use, container(3)))
    assert in_use.number in text(finding.said)
    assert second_opened(opened(container(1), TODAY), (in_use,)) == ()
    assert second_opened(container(1), (emptied(in_use, TODAY),)) == ()


def test_the_lot_asked_about_is_the_containers() -> None:
    with pytest.raises(ValueError, match="isn't the container's"):
        require_weighable(container(lot_id="lot-9"), ACCEPTED, ZINC, TODAY)
