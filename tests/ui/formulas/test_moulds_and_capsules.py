"""Moulds and capsules are edited by keys, saved with the version, and scaled from it."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QLineEdit

from formulary.formula.content import Content
from formulary.formula.kinds import ToFill
from formulary.formula.moulding import Capsule, Convention, Mould
from formulary.formula.version import State
from tests.helpers.formulas import amount
from tests.ui.formulas.conftest import Find, choose_next, focused, press
from ui.formulas.page import FormulasPage

CTRL = Qt.KeyboardModifier.ControlModifier
Settle = Callable[[], None]
Edit = Callable[[str], None]


@pytest.fixture
def edit(page: FormulasPage, find: Find, settle: Settle) -> Edit:
    """Return what opens a sample formula in the editor."""

    def begin(words: str) -> None:
        find(words)
        press(Qt.Key.Key_E, CTRL)
        settle()
        assert page.session is not None

    return begin


def type_at(page: FormulasPage, place: str, text: str) -> None:
    """Type in place of what stands in a field."""
    assert page.session is not None
    page.session.editor.go_to(place)
    line = focused()
    assert isinstance(line, QLineEdit)
    line.selectAll()
    QTest.keyClicks(line, text)


def note_below(page: FormulasPage, place: str) -> str:
    """Return the sentence that a field is described by."""
    assert page.session is not None
    page.session.editor.go_to(place)
    return focused().accessibleDescription().replace("\N{NO-BREAK SPACE}", " ")


def confirmed(page: FormulasPage, settle: Settle) -> Content:
    """Confirm with a reason, and return what was written."""
    assert page.session is not None
    press(Qt.Key.Key_Return, CTRL)
    if page.session.panel.reason.hasFocus():
        QTest.keyClicks(focused(), "Another mould.")
        press(Qt.Key.Key_Return, CTRL)
    settle()
    settle()
    assert page._shown is not None
    assert page._shown.newest is not None
    assert page._shown.newest.state is State.DRAFT
    return page._shown.newest.content


def test_a_moulds_fields_are_edited_and_saved(
    page: FormulasPage, edit: Edit, settle: Settle
) -> None:
    edit("zinc oxide suppositories")
    type_at(page, "mould.capacity", "3 g")
    type_at(page, "mould.base", "Hard fat")
    type_at(page, "mould.spare", "4")
    assert confirmed(page, settle).mould == Mould(amount("3 g"), "Hard fat", 4)


def test_scaling_names_the_spare_units(page: FormulasPage, find: Find, settle: Settle) -> None:
    find("zinc oxide suppositories")
    page.panel.target.line.setFocus()
    page.panel.target.line.selectAll()
    QTest.keyClicks(page.panel.target.line, "6")
    settle()
    said = " ".join(
        each.text() for each in page.panel.findChildren(QLabel) if each.text().startswith("Makes")
    ).replace("\N{NO-BREAK SPACE}", " ")
    assert said == "Makes 8 pieces: 6 pieces + 2 spare = 8 pieces"


def test_a_capsules_fields_are_edited_and_saved(
    page: FormulasPage, edit: Edit, settle: Settle
) -> None:
    edit("riboflavin")
    type_at(page, "capsule.size", "0")
    type_at(page, "capsule.volume", "0.68 mL")
    type_at(page, "capsule.spare", "3")
    assert confirmed(page, settle).capsule == Capsule(amount("0.68 mL"), "0", 3)


def test_a_displacement_has_its_convention_and_its_source(
    page: FormulasPage, edit: Edit, settle: Settle
) -> None:
    edit("zinc oxide suppositories")
    type_at(page, "ingredient.0.displacement", "0.25")
    assert page.session is not None
    page.session.editor.go_to("ingredient.0.displacement_convention")
    QTest.keyClicks(focused(), "factor")
    type_at(page, "ingredient.0.displacement_source", "Own calibration of 2 Feb 2026")
    displacement = confirmed(page, settle).lines[0].displacement
    assert displacement is not None
    assert (displacement.convention, str(displacement.number)) == (Convention.FACTOR, "1/4")
    assert displacement.source == "Own calibration of 2 Feb 2026"


@pytest.mark.parametrize(
    ("formula", "place", "typed", "said"),
    [
        ("zinc oxide suppositories", "mould.capacity", "3", "Is 3 g meant?"),
        ("zinc oxide suppositories", "mould.capacity", "3 mL", "Write a mass"),
        ("riboflavin", "capsule.volume", "0.5 g", "Write a volume"),
        ("riboflavin", "capsule.volume", "0 mL", "isn't above zero"),
    ],
)
def test_what_makes_no_sense_is_said_at_the_field(
    page: FormulasPage, edit: Edit, formula: str, place: str, typed: str, said: str
) -> None:
    edit(formula)
    type_at(page, place, typed)
    assert said in note_below(page, place)


@pytest.mark.parametrize(
    ("formula", "place"),
    [("zinc oxide suppositories", "mould.spare"), ("riboflavin", "capsule.spare")],
)
def test_half_a_spare_unit_is_refused_and_nothing_is_written(
    page: FormulasPage, edit: Edit, settle: Settle, formula: str, place: str
) -> None:
    edit(formula)
    type_at(page, place, "1.5")
    press(Qt.Key.Key_Return, CTRL)
    settle()
    assert page.session is not None
    assert page.session.active
    assert any(text.startswith("Stop: ") for text in page.session.panel.findings.texts())


def test_a_new_capsule_formula_is_written_by_keys_alone(page: FormulasPage, settle: Settle) -> None:
    page.search.setFocus()
    press(Qt.Key.Key_N, CTRL)
    settle()
    for place, text in (
        ("title", "Test capsules"),
        ("code", "TC-001"),
        ("ingredient.0.name", "Riboflavin"),
        ("ingredient.0.quantity", "5 mg per unit"),
        ("ingredient.0.density", "0.5 g/mL"),
        ("ingredient.0.density_source", "Measured here"),
    ):
        type_at(page, place, text)
    page_editor_row(page, "ingredient.0.name")
    for place, text in (
        ("ingredient.1.name", "Mannitol"),
        ("ingredient.1.quantity", "q.s. to fill"),
        ("ingredient.1.density", "0.6 g/mL"),
        ("ingredient.1.density_source", "Measured here"),
        ("units", "10"),
        ("capsule.size", "1"),
        ("capsule.volume", "0.48 mL"),
        ("capsule.spare", "1"),
    ):
        type_at(page, place, text)
    for place in ("form", "route"):
        assert page.session is not None
        page.session.editor.go_to(place)
        choose_next()
    content = confirmed(page, settle)
    assert content.capsule == Capsule(amount("0.48 mL"), "1", 1)
    assert isinstance(content.lines[1].quantity, ToFill)
    assert content.units == 10


def page_editor_row(page: FormulasPage, place: str) -> None:
    """Add a row below the one of this place."""
    assert page.session is not None
    page.session.editor.go_to(place)
    press(Qt.Key.Key_Return)
