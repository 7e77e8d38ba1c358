"""A published composition from an empty form to a printed label, by keys alone."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QSettings, Qt
from pytestqt.qtbot import QtBot

from formulary.exchange.formula_text import read_formula_file
from formulary.formula.content import Content, Role
from formulary.formula.kinds import Kind
from formulary.formula.version import State, Version
from formulary.labels.raster import rasterise
from tests.flows.conftest import CTRL, SHIFT, Keyboard
from tests.flows.test_technician_flow import accept
from tests.helpers.code_reader import codes_in
from tests.helpers.pdf_text import page_sizes_mm, page_texts, squeezed
from tests.ui.conftest import PATIENCE_MS
from ui.files import SAVED
from ui.formulas.page import FormulasPage
from ui.labels.page import LabelsPage
from ui.window import Window

PUBLISHED = Path(__file__).parents[1] / "published"
OINTMENT = PUBLISHED / "compound-benzoic-acid-ointment-bp.toml"
NAME = "Compound benzoic acid ointment"
STRENGTH = "Benzoic acid 6 %, salicylic acid 3 %"
NOT_FOR_USE = "NOT FOR USE"
METHOD = "Levigate the powders with a little of the base, then work in the rest."
BY_HAND = {"Benzoic acid": "10.8 g", "Salicylic acid": "5.4 g", "Emulsifying ointment": "163.8 g"}
"""6 % of 180 = 10.8; 3 % of 180 = 5.4; 180 - 16.2 = 163.8."""


def test_a_published_ointment_goes_from_keys_to_a_label_that_is_read_back(
    qtbot: QtBot, window: Window, keyboard: Keyboard, tmp_path: Path
) -> None:
    QSettings().setValue(SAVED, str(tmp_path))
    page = window.pages["formulas"]
    assert isinstance(page, FormulasPage)

    act_as(keyboard, "Ilse Corrander, pharmacist", "3141")
    keyboard.press(Qt.Key.Key_N, CTRL)
    name_it(keyboard)
    compose_it(keyboard)
    keep_it(keyboard)
    word_its_label(keyboard)
    keyboard.press(Qt.Key.Key_Return, CTRL)
    written = version_of(page).content
    assert said(written) == said(read_formula_file(OINTMENT))
    assert [step.text for step in written.steps] == [METHOD]
    keyboard.press(Qt.Key.Key_R, CTRL | SHIFT)
    assert version_of(page).state is State.IN_REVIEW
    act_as(keyboard, "Tobias Quell, pharmacist", "2718")
    keyboard.press(Qt.Key.Key_U, CTRL | SHIFT)
    sign(keyboard, "2718")
    assert version_of(page).state is State.IN_USE

    keyboard.press(Qt.Key.Key_L, CTRL)
    keyboard.type("3 x 60 g")
    assert to_weigh(page) == BY_HAND
    keyboard.press(Qt.Key.Key_Return, CTRL)
    keyboard.press(Qt.Key.Key_L, CTRL)
    labels = window.pages["labels"]
    assert isinstance(labels, LabelsPage)
    keyboard.tab_to("Label stock", back=True)
    keyboard.choose("100 x 50 mm")
    qtbot.waitUntil(labels.save_pdf.isEnabled, timeout=PATIENCE_MS)
    keyboard.press(Qt.Key.Key_E, CTRL)
    accept(qtbot, keyboard, labels)

    (made,) = window.context.desk.store.register()
    assert made.started_by == "Tobias Quell"
    pdf = (tmp_path / f"{made.lot}.pdf").read_bytes()
    assert page_sizes_mm(pdf) == [(100, 50)] * 3
    pages = [squeezed(text) for text in page_texts(pdf)]
    assert len(pages) == 3
    use_by = window.context.catalogue.written(made.use_by)
    for number, page_text in enumerate(pages):
        for words in (NAME, STRENGTH, made.lot, f"Use by {use_by}", NOT_FOR_USE):
            assert squeezed(words) in page_text
        assert (made.lot, "]C0") in codes_in(rasterise(pdf, number, 203))


def version_of(page: FormulasPage) -> Version:
    """Return the newest version of the formula in view."""
    assert page._shown is not None
    assert page._shown.newest is not None
    return page._shown.newest


def said(content: Content) -> list[tuple[str, Kind, Role]]:
    """Return what the lines of a formula say, without what the house knows of them."""
    return [(line.ingredient, line.quantity, line.role) for line in content.lines]


def to_weigh(page: FormulasPage) -> dict[str, str]:
    """Return the figures in view."""
    rows = page.panel.table.rows
    return {row.ingredient: row.figure.text().replace("\N{NO-BREAK SPACE}", " ") for row in rows}


def act_as(keyboard: Keyboard, person: str, pin: str) -> None:
    keyboard.press(Qt.Key.Key_A, CTRL | SHIFT)
    keyboard.choose(person)
    keyboard.press(Qt.Key.Key_Return)
    sign(keyboard, pin)


def sign(keyboard: Keyboard, pin: str) -> None:
    keyboard.type(pin)
    keyboard.press(Qt.Key.Key_Return)


def name_it(keyboard: Keyboard) -> None:
    assert keyboard.focused().accessibleName() == "Title"
    keyboard.type(NAME)
    keyboard.fill_in("Code", "PUB-09")
    keyboard.tab_to("Form")
    keyboard.choose("ointment")
    keyboard.tab_to("Route")
    keyboard.choose("skin")


def compose_it(keyboard: Keyboard) -> None:
    keyboard.tab_to("Ingredient")
    for ingredient, quantity, role in (
        ("Benzoic acid", "6 % w/w", "active"),
        ("Salicylic acid", "3 % w/w", "active"),
        ("Emulsifying ointment", "to 100 g", "base"),
    ):
        keyboard.type(ingredient)
        keyboard.fill_in("Quantity", quantity)
        keyboard.tab_to("Role")
        keyboard.choose(role)
        keyboard.tab_to("Phase")
        keyboard.press(Qt.Key.Key_Return)


def keep_it(keyboard: Keyboard) -> None:
    for _ in ("phases", "method"):
        keyboard.tab_to("Add a row")
    keyboard.press(Qt.Key.Key_Return)
    keyboard.type(METHOD)
    keyboard.fill_in("Container and closure", "White jar")
    keyboard.fill_in("Not below, °C", "15")
    keyboard.fill_in("Not above, °C", "25")
    keyboard.fill_in("Lasts", "180 days")
    keyboard.fill_in("Reason for the shelf life", "Contains no water.")
    keyboard.fill_in("Reference for it", "House rule 4")
    keyboard.tab_to("Free water")
    keyboard.choose("non-aqueous")
    keyboard.fill_in("Source of the class or figure", "Composition")


def word_its_label(keyboard: Keyboard) -> None:
    keyboard.fill_in("Name on the label", NAME)
    keyboard.fill_in("Declared strength", STRENGTH)
    keyboard.fill_in("Directions", "Apply thinly twice a day.")
    keyboard.tab_to("Warnings")
    keyboard.choose("For the skin only.")
    keyboard.press(Qt.Key.Key_Space)
