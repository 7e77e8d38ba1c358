"""Strengths against usual ranges and the last preparations."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.calculating.tables import table
from formulary.finding import Severity
from formulary.formula.content import Content, Form, Route
from formulary.ingredient import UsualRange
from formulary.quantity.amount import Concentration
from formulary.review.case import Facts, Made
from formulary.review.strong import factor_outside
from tests.formulary.review.cases import (
    FAT,
    NOTE,
    REASON,
    STOP,
    a_cream,
    an_ingredient,
    found,
    loudness,
)
from tests.helpers.formulas import a_line, active, amount


def zinc(strength: str, **more: Any) -> Content:  # noqa: ANN401  of many types
    return a_cream(active("Zinc oxide", strength), FAT, **more)


@pytest.mark.parametrize(
    ("strength", "said"),
    [("10 % w/w", []), ("30 % w/w", [NOTE]), ("0.1 % w/w", [REASON]), ("10 mg/kg", [STOP])],
)
def test_a_strength_is_held_against_a_published_range(strength: str, said: list[Severity]) -> None:
    # Zinc oxide, 1 to 25 %: US Code of Federal Regulations, title 21, section 347.10.
    assert loudness(zinc(strength), "usual_range") == said


def test_tenfold_and_thousandfold_are_called_so_and_cite_the_range() -> None:
    ten, thousand = (found(zinc(each), "usual_range")[0] for each in ("0.1 % w/w", "10 mg/kg"))
    assert ten.said.key == "review.finding.tenfold_range"
    assert thousand.said.key == "review.finding.thousandfold_range"
    assert ten.source is not None


def test_without_a_range_on_file_it_is_said_and_nothing_is_invented() -> None:
    unknown = found(a_cream(active("Bismuth subgallate", "90 % w/w"), FAT), "usual_range")
    assert [each.said.key for each in unknown] == ["review.finding.no_range"]
    assert loudness(zinc("10 % w/w", route=Route.EAR), "usual_range") == [NOTE]


def test_every_range_on_file_names_its_published_source() -> None:
    assert all("Code of Federal Regulations" in row["source"] for row in table("usual-strengths"))


def test_the_houses_own_range_comes_first_for_per_cents_and_for_dose_units() -> None:
    five, ten = (Concentration(Fraction(each), "% w/w") for each in (5, 10))
    own = an_ingredient("Zinc oxide", usual=UsualRange(five, ten, "invented for this test"))
    assert loudness(zinc("20 % w/w"), "usual_range", Facts(ingredients=(own,))) == [NOTE]
    assert loudness(zinc("8 % w/w"), "usual_range", Facts(ingredients=(own,))) == []
    mg = UsualRange(amount("1 mg"), amount("5 mg"), "invented for this test")
    drug = Facts(ingredients=(an_ingredient("Drug", usual=mg),))
    filler = a_line("Mannitol", "200 mg per unit")
    for dose, said in (("5 mg", []), ("50 mg", [REASON]), ("5 g", [STOP])):
        capsules = a_cream(active("Drug", f"{dose} per unit"), filler, form=Form.CAPSULES, units=10)
        assert loudness(capsules, "usual_range", drug) == said


def test_a_strength_is_held_against_the_last_preparations() -> None:
    facts = Facts(made=(Made("K26-00007", zinc("10 % w/w")),))
    assert loudness(zinc("12 % w/w"), "last_made", facts) == []
    assert loudness(zinc("1 % w/w"), "last_made", facts) == [REASON]
    assert loudness(zinc("0.01 % w/w"), "last_made", facts) == [STOP]
    assert loudness(zinc("0.01 % w/w"), "last_made") == []


@given(
    st.fractions(min_value=Fraction(1, 1000), max_value=1000),
    st.fractions(min_value=Fraction(1, 1000), max_value=1000),
    st.fractions(min_value=1, max_value=1000),
)
def test_a_factor_is_one_inside_and_the_ratio_outside(
    end: Fraction, width: Fraction, times: Fraction
) -> None:
    lowest, highest = end, end + width
    assert factor_outside(highest * times, lowest, highest) == times
    assert factor_outside(lowest / times, lowest, highest) == times
    assert factor_outside((lowest + highest) / 2, lowest, highest) == 1
