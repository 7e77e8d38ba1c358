"""The units beside a field are those that it takes, and the one in view is the one that counts."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from formulary.calculating.describing import Input, Kind
from formulary.calculating.reading import calculate, read_input
from formulary.calculating.registry import calculation_named, every_calculation
from formulary.quantity.writing import plain_number
from tests.ui.calculations.keys import enter, go_to, row
from ui.calculations.page import CalculationsPage
from ui.calculations.units import first_unit, offered_units, with_unit

Settle = Callable[[], None]


EVERY = [(each.name, described) for each in every_calculation() for described in each.inputs]


@pytest.mark.parametrize(("name", "described"), EVERY, ids=lambda each: getattr(each, "name", each))
def test_a_figure_in_each_unit_that_is_offered_can_be_read(name: str, described: Input) -> None:
    figure = max(described.least or 0, min(described.most or 1, 1))
    for unit in offered_units(described):
        typed = with_unit(plain_number(Fraction(figure)), unit)
        assert read_input(described, typed) is not None, (name, unit)


@pytest.mark.parametrize(
    ("name", "field"),
    [
        ("buffer-ph", "base"),
        ("buffer-ph", "acid"),
        ("buffer-making", "concentration"),
        ("buffer-making", "acid_stock"),
        ("buffer-capacity", "concentration"),
        ("buffer-partner", "stock"),
        ("buffer-after-addition", "strong_acid"),
    ],
)
def test_a_buffer_is_offered_mol_per_litre_first_and_no_per_cent(name: str, field: str) -> None:
    calculation = calculation_named(name)
    described = next(each for each in calculation.inputs if each.name == field)
    units = offered_units(described)
    assert units[0] == "mol/L" == first_unit(calculation, described)
    assert "mmol/L" in units
    assert not [each for each in units if "%" in each or "mg" in each or not each]


def test_a_bare_figure_of_a_buffer_is_read_in_the_unit_in_view(
    page: CalculationsPage, settle: Settle
) -> None:
    go_to(page, "ph of a buffer")
    enter(page, pka="4.76", base="0.1", acid="0.1")
    settle()
    assert row(page, "base").unit.currentText() == "mol/L"
    assert page.sheet.inputs.typed()["base"] == "0.1 mol/L"
    assert page.sheet.view.results.texts()[0] == "4.76"
    on_the_command_line = calculate(
        calculation_named("buffer-ph"), {"pka": "4.76", "base": "0.1", "acid": "0.1"}
    )
    answer = page.sheet.view.answer
    assert answer is not None
    assert answer.outcome is not None
    assert answer.outcome.results == on_the_command_line.results


@pytest.mark.parametrize(
    ("name", "field", "unfit"),
    [
        ("ethanol-dilution", "stock_strength", "mg/mL"),
        ("suppositories", "doses", "% v/v"),
        ("isotonicity", "masses", "% w/w"),
        ("tablets-as-source", "strength", "% w/v"),
        ("international-units", "potency", "% w/w"),
        ("dose-check", "usual_most", "% w/v"),
    ],
)
def test_no_unit_is_offered_that_is_refused_for_its_kind(name: str, field: str, unfit: str) -> None:
    calculation = calculation_named(name)
    described = next(each for each in calculation.inputs if each.name == field)
    assert Kind.STRENGTH in described.kinds
    assert unfit not in offered_units(described)
