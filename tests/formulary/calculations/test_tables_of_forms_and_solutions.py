"""The tables of ethanol, moulds, capsules, isotonicity, HLB and buffers are whole and honest."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import pytest

from formulary.calculating.lists import only_row, row_findings
from formulary.calculating.tables import document, table
from formulary.errors import Refusal
from formulary.finding import Severity

FIGURES = {
    "alcohol-15-56": ("percent_vv_15_56", "percent_ww"),
    "alcohol-density": ("percent_ww", "density_20_kg_m3"),
    "alcohol-dilution-by-mass": ("target_percent_vv", "ethanol_96_g", "water_g"),
    "alcohol-dilution-by-volume": ("stock_percent_vv", "target_percent_vv", "stock_ml", "water_ml"),
    "borate-buffer": ("ph", "boric_acid_g_per_l", "borax_g_per_l", "sodium_chloride_g_per_l"),
    "capsule-volumes": ("volume_ml",),
    "dilute-ethanols-official": (),
    "displacement-factors": ("factor",),
    "droppers": (),
    "freezing-point-depressions": ("depression_of_1_percent",),
    "hlb": ("hlb",),
    "oiml-r22-coefficients": ("value",),
    "sodium-chloride-equivalents": ("equivalent",),
}
ROWS = [(name, row) for name in FIGURES for row in table(name)]


@pytest.mark.parametrize("name", FIGURES)
def test_a_table_says_what_it_is(name: str) -> None:
    whole = document(name)
    assert whole["title"].strip()
    assert whole["about"].strip()


@pytest.mark.parametrize(("name", "row"), ROWS)
def test_every_row_names_its_source_and_holds_exact_figures(
    name: str, row: Mapping[str, Any]
) -> None:
    assert row["source"].strip()
    assert row["edition"].strip()
    assert isinstance(row["seen"], bool)
    for figure in FIGURES[name]:
        assert isinstance(row[figure], str)
        assert Fraction(row[figure]).denominator > 0


def test_a_row_from_memory_says_so() -> None:
    memory = [row for name, row in ROWS if "memory" in row["source"]]
    assert memory
    assert not any(row["seen"] for row in memory)


def test_the_general_formula_has_all_its_coefficients() -> None:
    symbols = {row["symbol"] for row in table("oiml-r22-coefficients")}
    powers = {1: 11, 2: 10, 3: 9, 4: 4, 5: 2}
    expected = {f"A{power}" for power in range(1, 13)} | {f"B{power}" for power in range(1, 7)}
    expected |= {f"C{i},{k}" for i, most in powers.items() for k in range(1, most + 1)}
    assert symbols == expected


@pytest.mark.parametrize("convention", ["A", "B"])
def test_every_displacement_has_a_convention_and_a_base(convention: str) -> None:
    rows = table("displacement-factors")
    assert all(row["convention"] in "AB" and row["base"] for row in rows)
    assert any(row["convention"] == convention for row in rows)


def test_sources_that_differ_are_marked_and_never_chosen_between() -> None:
    zinc_oxide = [row for row in table("displacement-factors") if row["substance"] == "zinc oxide"]
    assert all("doubtful" in row for row in zinc_oxide)
    with pytest.raises(Refusal) as refused:
        only_row("displacement-factors", "factor", substance="zinc oxide", base="cocoa butter")
    assert dict(refused.value.message.parameters)["figures"] == (Fraction(5), Fraction("4.7"))


def test_a_doubtful_figure_is_said_to_be_so_wherever_it_is_used() -> None:
    wanted = {"substance": "ibuprofen sodium dihydrate", "base": "hard fat"}
    row = only_row("displacement-factors", "factor", **wanted)
    assert [each.severity for each in row_findings(row, "ibuprofen", "")] == [
        Severity.NOTE,
        Severity.REASON,
    ]
