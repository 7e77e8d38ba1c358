"""What the page Labels says of wordings: what waits, how it is approved, why a warning is there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from formulary.desk import Desk
from formulary.people import Person
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.wordings import book_of
from formulary.wording.directions import Dosing, Use
from tests.helpers.desks import PIN, PIN_HASH
from tests.ui.at_desk import plain, start
from tests.ui.stock.keyboard import keys, typed
from ui.context import Context, Signing
from ui.labels.page import LabelsPage

THINLY = Dosing(Use.APPLY, place="affected_skin", number=2)

Show = Callable[[QWidget], None]
Settle = Callable[[], None]


@pytest.fixture
def page(context: Context, desk: Desk, show: Show) -> LabelsPage:
    """Return the page with a bottle, and a pharmacist who signs with a PIN."""
    with desk.writing("set_pin") as writing:
        me: Person = writing.put(replace(desk.person, pin_hash=PIN_HASH))
    context.seat(replace(desk, person=me))
    context.signature_wanted.connect(sign)
    made = LabelsPage(context)
    made.take(start(desk, "hydrochlorothiazide", "100 mL").lot)
    show(made)
    made.order.stock.choose("100x70")
    return made


def sign(wanted: Signing) -> None:
    """Sign whatever is asked, once what it is about was shown."""
    assert "wordings in French for patients" in wanted.meaning
    (shake,) = (each for each in wanted.about if "Shake well before use." in each.english)
    assert len(shake.said) == 1
    wanted.act(PIN, lambda: None, lambda error: pytest.fail(str(error)))


def speak(page: LabelsPage, language: str, settle: Settle) -> None:
    page.order.language.setCurrentIndex(page.order.language.findData(language))
    settle()


def test_what_waits_is_told_beside_the_label_and_approved_by_signature(
    page: LabelsPage, desk: Desk, settle: Settle
) -> None:
    assert not page.approve.isVisible()
    speak(page, "fr", settle)
    assert "The directions are written in English." in plain(page.preview.refusal.text())
    assert not page.approve.isVisible()
    page.order.address.inputs["directions"].set_text("")
    page.order.address.inputs["directions"].setFocus()
    typed("Bien agiter.")
    settle()
    assert "aren’t approved for patients yet" in page.preview.notes.text()
    page.order.stock.setFocus()
    keys(page, "Ctrl+Shift+I")
    settle()
    assert book_of(desk.store, "fr").approvals
    assert "Shake well" not in page.preview.notes.text()


def test_each_warning_says_why_it_is_there(page: LabelsPage) -> None:
    assert "Shake well before use. The formula names it." in page.preview.why.text()


def test_directions_are_built_for_a_label_and_kept_in_parts(
    page: LabelsPage, desk: Desk, settle: Settle
) -> None:
    page.order.stock.setFocus()
    keys(page, "Ctrl+D")
    builder = page.order.builder
    builder.form.inputs["amount"].setFocus()
    typed("2 mL")
    builder.form.inputs["number"].setFocus()
    typed("2")
    assert plain(builder.sentence.text()) == "Take 2 mL (10 mg) by mouth 2 times a day."
    keys(page, "Ctrl+Return")
    settle()
    QTest.keyClick(page, Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    settle()
    (row, *_) = desk.store.register()
    kept = desk.store.preparation(row.lot)
    assert kept is not None
    assert isinstance(kept.dosing, Dosing)
    assert kept.dosing.use is Use.TAKE
    assert kept.language == "en"


def test_esc_puts_the_parts_of_directions_away_before_the_page_is_left(
    page: LabelsPage, settle: Settle
) -> None:
    keys(page, "Ctrl+D")
    assert page.order.builder.isVisible()
    keys(page, "Esc")
    assert not page.order.builder.isVisible()
    assert page.order.isVisible()
    keys(page, "Esc")
    settle()
    assert page.chooser.isVisible()


def test_letters_typed_in_a_list_choose_there_and_are_no_keys_of_the_page(
    page: LabelsPage,
) -> None:
    page.order.language.setFocus()
    typed("Fr")
    assert page.order.language.currentData() == "fr"
    assert not page.preview.ruler.isChecked()


@pytest.fixture
def meant(context: Context, desk: Desk) -> list[str]:
    """Let a pharmacist sign whatever is asked in a house whose labels are French."""
    with desk.writing("set_pin") as writing:
        me: Person = writing.put(replace(desk.person, pin_hash=PIN_HASH))
        writing.put(replace(desk.house, label_language="fr"))
    seated = replace(desk, person=me)
    context.sit_down(seated, desk.house, tuple(desk.store.every(Person)))
    found: list[str] = []

    def sign_all(wanted: Signing) -> None:
        found.append(wanted.meaning)
        wanted.act(PIN, lambda: None, lambda error: pytest.fail(str(error)))

    context.signature_wanted.connect(sign_all)
    return found


def test_a_label_in_two_languages_waits_for_both_and_one_act_approves_them(
    context: Context, desk: Desk, meant: list[str], show: Show, settle: Settle
) -> None:
    page = LabelsPage(context)
    page.take(start(desk, "hydrochlorothiazide", "100 mL").lot)
    show(page)
    page.order.stock.choose("100x70")
    speak(page, "ar", settle)
    assert "in Arabic" in page.preview.notes.text()
    assert "in French" in page.preview.notes.text()
    keys(page, "Ctrl+Shift+I")
    settle()
    assert "in Arabic for patients" in meant[0]
    assert "in French for patients" in meant[0]
    assert book_of(desk.store, "ar").approvals
    assert book_of(desk.store, "fr").approvals
    assert not page.approve.isVisible()


def test_of_a_run_every_language_is_approved(
    context: Context, desk: Desk, meant: list[str], show: Show, settle: Settle
) -> None:
    first = start(desk, "zinc paste", "60 g")
    polish = start_preparation(desk, first.version_id, Order("60 g", dosing=THINLY, language="pl"))
    page = LabelsPage(context)
    page.take(first.lot)
    show(page)
    page.order.stock.choose("100x70")
    keys(page, "Ctrl+R")
    settle()
    page.take(polish.lot)
    page.shown()
    settle()
    keys(page, "Ctrl+Shift+I")
    settle()
    assert "in French for patients" in meant[0]
    assert "in Polish for patients" in meant[0]
