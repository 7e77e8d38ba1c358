"""A dose is held against the strength that is made and against what was filled."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.quantity.amount import Concentration
from formulary.quantity.parsing import parse_amount
from formulary.wording.directions import Dosing, Use
from formulary.wording.dose_checks import is_beyond, mistaken
from formulary.wording.figures import doses, masses, strengths

FIVE = Concentration(Fraction(5), "mg/mL")


@pytest.mark.parametrize(
    ("text", "factors"),
    [
        ("Take 2 mL (10 mg) once a day.", []),
        ("Take 10 mg (2 mL) once a day.", []),
        ("2 ml (10 mg) einnehmen, dann 4 ml (20 mg).", []),
        ("Take 2 mL (100 mg) once a day.", [10]),
        ("Take 100 mg (2 mL) once a day.", [10]),
        ("Take 2 mL (1 mg) once a day.", [10]),
        ("Take 2 mL (10 micrograms).", [1000]),
        ("Take 2 mL (15 mg).", [Fraction(3, 2)]),
        ("Take 2.1 mL (10.5 mg).", []),
        ("Take 2 mL in water (200 mL).", []),
        ("Take 2 mL.", []),
    ],
)
def test_a_volume_holds_what_the_strength_gives(text: str, factors: list[int]) -> None:
    assert [each.times for each in mistaken(text, FIVE)] == factors
    assert list(mistaken(text, None)) == []


@pytest.mark.parametrize(
    ("dose", "filled", "beyond"),
    [
        ("200 mL", "100 mL", True),
        ("100 mL", "100 mL", False),
        ("2 piece", "1 piece", True),
        ("2 mL", "100 g", False),
    ],
)
def test_one_dose_is_no_more_than_was_filled(dose: str, filled: str, *, beyond: bool) -> None:
    unit = "capsule" if "piece" in dose else ""
    dosing = Dosing(Use.TAKE, parse_amount(dose), unit, place="by_mouth", number=1)
    assert is_beyond(dosing, parse_amount(filled)) is beyond
    assert not is_beyond(None, parse_amount(filled))


def test_figures_are_read_as_they_are_written_and_never_in_two_ways() -> None:
    assert [each.number for each in strengths("0.5 mg/mL, 100 000 units in 1 mL, 1,5 mg/g")] == [
        Fraction(1, 2),
        100000,
        Fraction(3, 2),
    ]
    assert strengths("1,250 mg/g") == ()
    assert strengths("10 mg in one capsule") == ()
    assert [each.number for each in masses("10 mg in one capsule of 0,125 g")] == [
        10,
        Fraction(1, 8),
    ]
    assert doses("2 mL (5 mL)") == ()
