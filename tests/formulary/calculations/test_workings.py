"""Each line of a working holds for one who works it out again with a pocket calculator.

The cases of the other files are checked alike: ``ask`` and ``expect`` read every line.
"""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from formulary.calculating.describing import Calculation
from formulary.calculating.reading import calculate
from formulary.calculating.registry import every_calculation
from formulary.catalogue import Catalogue
from formulary.quantity.amount import Amount
from tests.formulary.calculations.asking import ask
from tests.helpers.arithmetic import assert_true, equations


def lines(name: str, **typed: str) -> list[str]:
    """Return the working with plain spaces."""
    said = map(Catalogue().text, ask(name, **typed).steps)
    return [" ".join(each.split()) for each in said]


@pytest.mark.parametrize("each", every_calculation(), ids=lambda each: each.name)
def test_each_line_in_figures_is_true(each: Calculation) -> None:
    outcome = calculate(each, dict(each.examples))
    assert_true(map(Catalogue().text, outcome.steps))


def test_hardly_a_line_with_figures_goes_unread() -> None:
    said = [
        Catalogue().text(step)
        for each in every_calculation()
        for step in calculate(each, dict(each.examples)).steps
    ]
    unread = [each for each in said if " = " in each and not list(equations(each))]
    assert len(unread) < len(said) / 30


@pytest.mark.parametrize(
    ("line", "true"),
    [
        ("100 mL x 2 % w/v = 2 g", True),
        ("100 mL x 2 % w/v = 3 g", False),
        ("10 g / 3 = 3.33333333333 g", True),
        ("10 g / 3 = 3.33333333331 g", False),
        ("Active 1: 14 x 100 mg = 1.4 g of active", True),
        ("100 % − 0.833333333333 % x 300 days = 0 %", False),
        ("√(81) = 8", False),
    ],
)
def test_the_reader_tells_true_lines_from_false_ones(line: str, true: bool) -> None:  # noqa: FBT001
    (found,) = equations(line)
    assert (found[2] <= 0.51) is true


def test_nothing_is_taken_off_that_is_not_there_any_more() -> None:
    said = lines("remaining-potency", order="zero", half_life="60 days", elapsed="300 days")
    assert said[-1] == ("0.833333333333 % x 300 days = 250 %, which is all of it: 0 % is left")


def test_a_half_life_comes_back_as_it_was_typed() -> None:
    outcome = ask("remaining-potency", order="first", half_life="60 days", elapsed="30 days")
    assert outcome.value("half_life") == Amount(Fraction(60), "day")
    assert any(
        each.replace("\N{NO-BREAK SPACE}", " ").endswith("= 60 days half-life")
        for each in map(Catalogue().text, outcome.steps)
    )


def test_each_mark_up_has_its_rate() -> None:
    said = lines(
        "price-of-a-preparation",
        tariff="germany-section-5",
        work="ointment, cream, paste or gel",
        quantity="50 g",
        substances="12.00; 7.25",
        containers="1.25",
    )
    assert "Mark-up on Substances: 19.25 EUR x 90 % = 17.325 EUR" in said
    assert any(each.startswith("Mark-up in all: 17.325 EUR + ") for each in said)


def test_the_base_displaced_in_all_and_the_mass_to_pour_are_worked_out() -> None:
    said = lines(
        "suppositories",
        ordered="12",
        spare="2",
        mould="2 g",
        doses="200 mg; 100 mg",
        displacement_values="4; 1.5",
    )
    assert "Displaced in all: 0.7 g + 0.933333333333 g = 1.63333333333 g" in said
    assert said[-1] == "To melt and pour: 2.8 g + 1.4 g + 26.3666666667 g = 30.5666666667 g"


def test_the_units_outside_are_named_by_their_places() -> None:
    weights = "; ".join(["250 mg"] * 17 + ["276 mg", "224 mg", "277 mg"])
    said = lines("uniformity-of-mass", weights=weights, form="capsules, powders, granules")
    assert "Outside the limit: number 19 (224 mg), number 20 (277 mg)" in said
    said = lines("content-limits", label="400 mg", found="350 mg; 402 mg; 441 mg")
    assert "Outside the limit: number 1 (87.5 %), number 3 (110.25 %)" in said


def test_a_height_may_be_typed_in_metres() -> None:
    metres = ask("body-surface-area", height="1.10 m", weight="20 kg")
    assert metres.results == ask("body-surface-area", height="110 cm", weight="20 kg").results


def test_no_step_has_more_figures_than_twelve() -> None:
    for each in every_calculation():
        for step in calculate(each, dict(each.examples)).steps:
            said = Catalogue().text(step).replace("\N{NARROW NO-BREAK SPACE}", "")
            for figure in re.findall(r"\d+\.\d+", said):
                assert len(figure.replace(".", "").lstrip("0")) <= 12, said


@pytest.mark.parametrize(
    ("dose", "said"),
    [
        ("250 mg", "250 mg lies within 200 mg to 300 mg"),
        ("150 mg", "150 mg is less than 200 mg"),
        ("350 mg", "350 mg is more than 300 mg"),
    ],
)
def test_a_checked_dose_ends_with_its_verdict_in_one_unit(dose: str, said: str) -> None:
    usual = {"usual_least": "10 mg/kg", "usual_most": "15 mg/kg", "body_weight": "20 kg"}
    assert lines("dose-check", prescribed=dose, **usual)[-1] == said
