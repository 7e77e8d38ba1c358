"""The whole record of an ingredient is typed on its form, and its safety sheet attached there."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from formulary.desk import Desk
from formulary.formula.content import Storage
from formulary.ingredient import Ingredient
from formulary.monograph import HazardListing
from formulary.quantity.amount import Concentration
from formulary.stock.lot import Source
from tests.helpers.stocked import PDF
from tests.ui.file_questions import choose_file
from tests.ui.stock.keyboard import keys, typed
from ui.context import Context
from ui.ingredients.page import IngredientsPage

Settle = Callable[[], None]
FILLED = {
    "source": "concentrate",
    "strength": "20 % w/v",
    "high_alert": "yes",
    "double_check": "yes",
    "controlled": "yes",
    "look_alikes": "Talc",
    "hazards": "harmful",
    "allergens": "soya",
    "listings": "NIOSH list; 2024; table 2",
    "precautions": "in the cabinet",
    "handling_reviewed": "2026-01-05",
    "lowest": "2",
    "highest": "8",
    "protect_from_light": "yes",
    "cas": "7732-18-5",
    "molecular_mass": "18.02",
    "ph": "4 to 6.5",
    "concentrations": "skin: 1 to 2 %",
    "doses": "adults, oral: 1 g daily",
    "tariffs": "A-1",
    "source_of_facts": "A book, page 7",
}


@pytest.fixture
def page(context: Context, show: Callable[[QWidget], None], settle: Settle) -> IngredientsPage:
    made = IngredientsPage(context)
    show(made)
    made.index.search.setFocus()
    QTest.keyClicks(made.index.search, "Bentonite")
    settle()
    return made


def kept(desk: Desk) -> Ingredient:
    return next(each for each in desk.store.every(Ingredient) if each.name == "Bentonite")


def fill(page: IngredientsPage, texts: dict[str, str]) -> None:
    page.form.show_values(page.form.values() | texts)
    page.form.edited.emit()


def test_all_of_it_is_saved_and_shown_again(
    page: IngredientsPage, desk: Desk, settle: Settle
) -> None:
    fill(page, FILLED)
    keys(page, "Ctrl+S")
    settle()
    record = kept(desk)
    assert (record.source, record.strength) == (
        Source.CONCENTRATE,
        Concentration(Fraction(20), "% w/v"),
    )
    assert (record.high_alert, record.double_check, record.controlled) == (True, True, True)
    assert (record.look_alikes, record.hazards, record.allergens) == (
        ("Talc",),
        ("harmful",),
        ("soya",),
    )
    assert record.handling.listings == (HazardListing("NIOSH list", "2024", "table 2"),)
    assert record.storage == Storage(2, 8, protect_from_light=True)
    assert record.monograph.ph == (Fraction(4), Fraction(13, 2))
    shown = page.form.values()
    assert {name: shown[name] for name in FILLED} == FILLED


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("strength", ""),
        ("cas", "7732-18-6"),
        ("source_of_facts", ""),
        ("listings", "a list without edition"),
        ("precautions", ""),
        ("look_alikes", "Stardust"),
        ("highest", "1"),
    ],
)
def test_what_can_t_be_is_said_at_its_field(
    page: IngredientsPage, desk: Desk, settle: Settle, field: str, text: str
) -> None:
    fill(page, FILLED | {field: text})
    keys(page, "Ctrl+S")
    settle()
    assert not page.form.inputs[field].sound
    assert kept(desk).monograph.cas == ""


def test_a_safety_sheet_is_attached_with_the_day_of_its_revision(
    page: IngredientsPage,
    desk: Desk,
    settle: Settle,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    file = tmp_path / "bentonite.pdf"
    file.write_bytes(PDF)
    choose_file(monkeypatch, file)
    keys(page, "Ctrl+Shift+J")
    form = page.sheet.question.form
    assert form is not None
    typed("2025-11-03")
    keys(page, "Return")
    settle()
    sheet = kept(desk).handling.sheet
    assert sheet is not None
    assert sheet.revised_on == date(2025, 11, 3)
    assert "bentonite.pdf" in page.sheet.said.text()
    out = tmp_path / "copy.pdf"
    choose_file(monkeypatch, out)
    keys(page, "Ctrl+Shift+S")
    settle()
    assert out.read_bytes() == PDF
