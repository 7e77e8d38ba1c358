"""What to weigh, as it stands beside the balance."""

from __future__ import annotations

import pytest

from formulary.catalogue import Catalogue
from tests.helpers.formulas import a_formula, a_house, a_line, active, scaled
from ui.formulas.bench_rows import BenchRow, bench_rows


def first_row(quantity: str) -> BenchRow:
    content = a_formula(active("Salicylic acid", quantity), a_line("Base", "to 100 g"))
    house = a_house()
    rows = bench_rows(scaled(content, "100 g", house=house), house, Catalogue())
    return rows[0]


def plain(text: str) -> str:
    """Return a text with ordinary spaces."""
    return text.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    ("quantity", "figure", "band"),
    [
        ("27 g", "27 g", "26.73 to 27.27 g"),
        ("1.8 g", "1.8 g", "1.782 to 1.818 g"),
        # The band keeps to the unit of its figure on both sides of the change of unit.
        ("100 mg", "0.1 g", "0.099 to 0.101 g"),
    ],
)
def test_a_target_is_no_reading_and_closes_with_no_zeros(
    quantity: str, figure: str, band: str
) -> None:
    row = first_row(quantity)
    assert plain(row.figure.text()) == figure
    assert plain(row.how).endswith(f" · {band}")
