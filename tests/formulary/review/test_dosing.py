"""Doses that directions name, held against the strength."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.finding import Severity
from formulary.formula.content import LabelText
from tests.formulary.review.cases import REASON, STOP, a_solution, loudness
from tests.helpers.formulas import active


@pytest.mark.parametrize(
    ("directions", "said"),
    [
        ("Take 2 mL (10 mg) by mouth once a day.", []),
        ("Take 2 mL (100 mg) by mouth once a day.", [STOP]),
        ("Take 2 mL (12 mg) by mouth once a day.", [REASON]),
        ("Take 2 mL by mouth once a day.", []),
    ],
)
def test_a_dose_in_ml_and_mg_fits_the_strength(directions: str, said: list[Severity]) -> None:
    syrup = a_solution(active("Thiamine", "5 mg/mL"))
    dosed = replace(syrup, label=LabelText(directions=directions))
    assert loudness(dosed, "dose_in_directions") == said
    two = replace(dosed, lines=(active("Riboflavin", "1 mg/mL"), *dosed.lines))
    assert loudness(two, "dose_in_directions") == []
