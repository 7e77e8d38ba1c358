"""Yield against limits."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.bench.yield_of import (
    Limits,
    Obtained,
    yield_findings,
    yield_of,
)
from formulary.catalogue import Catalogue
from formulary.errors import Refusal
from tests.helpers.formulas import amount

THREE_JARS = (amount("60 g"),) * 3


def test_yield_counts_jars_surplus_and_samples_and_knows_the_residue() -> None:
    obtained = Obtained(
        amount("200 g"), THREE_JARS, surplus=amount("12 g"), residue=amount("6.5 g")
    )
    found = yield_of(obtained).result
    assert (found.amount, found.percent) == (amount("192 g"), Fraction(96))
    assert found.unaccounted == amount("1.5 g")
    assert found.inside
    assert yield_findings(found) == ()


@pytest.mark.parametrize(
    ("percent", "inside"), [(94, False), (95, True), (105, True), (106, False)]
)
def test_the_limits_themselves_are_inside(percent: int, *, inside: bool) -> None:
    found = yield_of(Obtained(amount("100 g"), (amount(f"{percent} g"),)))
    assert found.result.inside is inside
    assert len(yield_findings(found.result)) == (not inside)
    for each in (*found.steps, *(one.said for one in yield_findings(found.result))):
        assert Catalogue().text(each)


def test_a_formulas_own_limits_come_first() -> None:
    found = yield_of(
        Obtained(amount("100 g"), (amount("90 g"),)), Limits(Fraction(85), Fraction(100))
    )
    assert found.result.inside


def test_without_anything_in_there_is_no_yield() -> None:
    with pytest.raises(Refusal):
        yield_of(Obtained(amount("0 g"), ()))
