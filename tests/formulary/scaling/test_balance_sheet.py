"""Whether a formula as written adds up, as one types."""

from __future__ import annotations

from formulary.scaling.balance_sheet import balance_sheet
from tests.helpers.formulas import a_formula, a_line, amount, density, is_amount, scaled


def test_a_formula_that_closes() -> None:
    sheet = balance_sheet(a_formula(a_line("A", "5 % w/w"), a_line("B", "to 100 g")))
    assert sheet.closes
    assert sheet.total == amount("100 g")
    assert is_amount(sheet.sum, "100 g")
    assert is_amount(sheet.lines[1], "95 g")


def test_shares_without_a_total_are_shown_for_a_hundred_grams() -> None:
    sheet = balance_sheet(a_formula(a_line("A", "1 part"), a_line("B", "3 parts")))
    assert sheet.closes
    assert sheet.total is None
    assert is_amount(sheet.lines[1], "75 g")


def test_a_refusal_is_a_stop() -> None:
    sheet = balance_sheet(a_formula(a_line("A", "5 % w/w")))
    assert not sheet.closes
    assert [each.said.key for each in sheet.findings] == ["scaling.no_total"]


def test_lines_that_do_not_come_to_the_total_are_a_stop() -> None:
    content = a_formula(a_line("A", "60 g"), a_line("B", "30 g"), total=amount("100 g"))
    assert [each.said.key for each in balance_sheet(content).findings] == [
        "scaling.finding.does_not_add_up"
    ]
    assert scaled(content, "50 g").findings[0].said.key == "scaling.finding.does_not_add_up"


def test_a_trace_off_the_total_is_none() -> None:
    content = a_formula(a_line("A", "60 g"), a_line("B", "39.96 g"), total=amount("100 g"))
    assert balance_sheet(content).closes


def test_a_sum_that_cannot_be_known_is_a_note() -> None:
    content = a_formula(a_line("A", "60 g"), a_line("Oil", "30 mL"), total=amount("100 g"))
    sheet = balance_sheet(content)
    assert sheet.closes
    assert sheet.sum is None
    assert [each.said.key for each in sheet.findings] == ["scaling.finding.sum_unknown"]


def test_a_line_made_up_to_a_mark_makes_no_sum_of_masses() -> None:
    water = a_line("Water", "to 100 mL", density=density("1"))
    sheet = balance_sheet(a_formula(a_line("Salt", "9 g"), water))
    assert sheet.closes
    assert sheet.sum is None
