"""Advice on a stock that lasts on what attacks print."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.formula.content import Form
from formulary.labels.durable import needs_durable
from tests.helpers.formulas import a_formula, a_line


@pytest.mark.parametrize(
    ("ingredient", "form", "advice"),
    [
        ("Ethanol 96 %", Form.SOLUTION, "alcohol"),
        ("Isopropyl alcohol", Form.LOTION, "alcohol"),
        ("Castor oil", Form.EMULSION, "grease"),
        ("White soft paraffin", Form.CREAM, "grease"),
        ("Lanolin", Form.OINTMENT, "grease"),
        ("Purified water", Form.SOLUTION, ""),
        ("Phenoxyethanol", Form.CREAM, ""),
        ("Cetostearyl alcohol", Form.CREAM, ""),
        ("Boiled sugar", Form.SYRUP, ""),
    ],
)
def test_what_attacks_print_asks_for_a_stock_that_lasts(
    ingredient: str, form: Form, advice: str
) -> None:
    found = needs_durable(replace(a_formula(a_line(ingredient, "to 100 g")), form=form))
    assert (found.key if found else "") == (f"label.durable.{advice}" if advice else "")
