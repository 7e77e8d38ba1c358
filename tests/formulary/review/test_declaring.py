"""What title and label declare, held against what the formula comes to."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from formulary.finding import Severity
from formulary.formula.content import Content, Form
from formulary.quantity.amount import Concentration
from formulary.review.case import Facts
from formulary.stock.lot import Source
from tests.formulary.review.cases import (
    FAT,
    REASON,
    STOP,
    a_cream,
    a_solution,
    an_ingredient,
    found,
    loudness,
    named,
)
from tests.helpers.formulas import a_line, active, density


def zinc(strength: str, **more: Any) -> Content:  # noqa: ANN401  of many types
    return a_cream(active("Zinc oxide", strength), FAT, **more)


def test_a_declared_per_cent_that_is_nowhere_in_it_is_found() -> None:
    right = zinc("10 % w/w", **named("Zinc cream", "10 % w/w"))
    near = zinc("10 % w/w", **named("Zinc cream", "15 % w/w"))
    tenfold = zinc("1 % w/w", **named("Zinc cream", "10 % w/w"))
    assert loudness(right, "declared_strength") == []
    twice = replace(near, title="Zinc cream 15 %")
    assert len(found(twice, "declared_strength")) == 1
    assert loudness(near, "declared_strength") == [REASON]
    assert loudness(tenfold, "declared_strength") == [STOP]
    thousandfold = zinc("0.01 % w/w", **named("Zinc cream", "10 % w/w"))
    keys = [found(each, "declared_strength")[0].said.key for each in (tenfold, thousandfold, near)]
    assert keys == [
        f"review.finding.{each}_declared" for each in ("tenfold", "thousandfold", "outside")
    ]


@pytest.mark.parametrize(
    ("strength", "said"),
    [
        ("10 mg/g", []),
        ("10 mg in 1 g", []),
        ("1 % w/w", []),
        ("1 g in 100 g", []),
        ("250 mg / 25 g", []),
        ("0.01 g per g", []),
        ("1 mg/g", [STOP]),
        ("100 mg/g", [STOP]),
        ("10 g in 100 g", [STOP]),
        ("10 % w/w", [STOP]),
        ("5 % w/w", [REASON]),
        ("100 % w/w", [STOP]),
        ("20 mg/g", [REASON]),
        # Of 0.5 g in 1 mL: 10 mg/g are 5 mg/mL.
        ("5 mg/mL", []),
        ("50 mg/mL", [STOP]),
    ],
)
def test_a_strength_in_any_unit_is_held_against_what_is_in_it(
    strength: str, said: list[Severity]
) -> None:
    glycol = a_line("Propylene glycol", "5 % w/w")
    active_line = active("Hydrocortisone", "10 mg/g")
    cream = a_cream(active_line, glycol, FAT, density=density("0.5"), **named("Cream", strength))
    assert loudness(cream, "declared_strength") == said


def test_what_a_text_names_may_be_its_strength_though_it_is_no_active() -> None:
    glycol = a_line("Propylene glycol", "5 % w/w")
    lines = (active("Hydrocortisone", "10 mg/g"), glycol, FAT)
    both = a_cream(*lines, **named("Cream", "Hydrocortisone 1 %, propylene glycol 5 %"))
    assert loudness(both, "declared_strength") == []
    assert loudness(replace(both, title="Cream 5 %"), "declared_strength") == [REASON]


def test_a_liquids_strength_in_title_and_on_the_label_is_told_once() -> None:
    syrup = a_solution(active("Thiamine", "5 mg/mL"), **named("Syrup", "50 mg in 1 mL"))
    titled = replace(syrup, title="Thiamine syrup 50 mg in 1 mL")
    assert loudness(titled, "declared_strength") == [STOP]
    right = a_solution(active("Thiamine", "5 mg/mL"), **named("Syrup", "0.5 % w/v (5 mg in 1 mL)"))
    assert loudness(right, "declared_strength") == []
    assert loudness(replace(right, title="Syrup 25 mg/5 mL"), "declared_strength") == []


def test_of_dose_units_what_one_holds_is_compared_and_its_size_is_let_be() -> None:
    def capsules(strength: str) -> Content:
        lines = (active("Riboflavin", "10 mg per unit"), a_line("Mannitol", "200 mg per unit"))
        return a_cream(*lines, form=Form.CAPSULES, units=10, **named("Capsules", strength))

    assert loudness(capsules("10 mg in one capsule"), "declared_strength") == []
    assert loudness(capsules("10 mg in one capsule of 500 mg"), "declared_strength") == []
    assert loudness(capsules("210 mg of powder"), "declared_strength") == []
    assert loudness(capsules("1 mg in one capsule"), "declared_strength") == [STOP]
    assert loudness(capsules("10 micrograms"), "declared_strength") == [STOP]
    assert loudness(capsules("15 mg"), "declared_strength") == [REASON]


def test_units_of_activity_are_compared_as_they_are_written() -> None:
    def drops(strength: str) -> Content:
        return a_solution(active("Nystatin", "100000 units/mL"), **named("Drops", strength))

    assert loudness(drops("100 000 units in 1 mL"), "declared_strength") == []
    assert loudness(drops("10 000 units in 1 mL"), "declared_strength") == [STOP]


def test_a_concentrate_declared_as_if_pure_is_found() -> None:
    strong = an_ingredient(
        "Chlorhexidine digluconate solution 20 %",
        source=Source.CONCENTRATE,
        strength=Concentration(Fraction(20), "% w/v"),
        density=density("1.06"),
    )
    facts = Facts(ingredients=(strong,))
    line = active(strong.name, "1 mL", density=density("1.06"))
    as_pure = a_solution(line, **named("Chlorhexidine mouthwash", "1 % w/v"))
    truly = a_solution(line, **named("Chlorhexidine mouthwash", "0.2 % w/v"))
    assert loudness(as_pure, "concentrate_as_pure", facts) == [REASON]
    assert loudness(truly, "concentrate_as_pure", facts) == []
    by_name = a_solution(line, **named("Chlorhexidine mouthwash", f"{strong.name} 1 % w/v"))
    assert loudness(by_name, "concentrate_as_pure", facts) == []
    assert loudness(truly, "declared_strength", facts) == []
