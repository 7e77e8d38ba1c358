"""Recalls in the window: whom to call, what came of it, and the end."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtWidgets import QTreeWidgetItem

from formulary.bench.kept import FilledJar, Place
from formulary.desk import Desk
from formulary.patient import PatientDetails
from formulary.people import Identity, Part, Post
from formulary.stock.recall import Outcome, Recall
from formulary.verbs.list_stock import list_stock
from formulary.verbs.recall_lot import recall_lot
from tests.helpers.desks import PIN
from tests.helpers.kept import ACT
from tests.helpers.stocked import grams, weigh
from tests.ui.at_desk import plain, start, unnamed
from tests.ui.stock.keyboard import keys, typed
from ui.context import Context
from ui.stock.page import StockPage

Settle = Callable[[], None]
QUENTIN = Identity(
    "x-1", Part.PATIENT, "Quentin Zimt", details=PatientDetails(telephone="555 0142")
)


@pytest.fixture
def recall(context: Context, desk: Desk, signing: list[str]) -> Recall:  # noqa: ARG001
    """Recall the talc that went into a preparation for a patient."""
    at_desk = context.desk
    made = start(replace(desk, person=at_desk.person), "zinc paste", "2 x 60 g")
    with desk.store.writing(ACT, "keep") as writing:
        patient = writing.put(QUENTIN)
        writing.put(replace(made, patient_id=patient.id))
        for number in (1, 2):
            jar = f"{made.lot}/{number}"
            writing.put(FilledJar(jar, made.id, Place.PATIENT, grams(60), patient.id, ACT.at))
    stock = list_stock(desk.store, desk.today)
    talc = next(each for each in stock.lots if each.ingredient == "Talc")
    weigh(at_desk, talc.holdings[0].container, grams(5), made.lot)
    return recall_lot(at_desk, talc.lot.number, PIN, "glass in a container")


def texts(page: StockPage) -> list[str]:
    tree = page.recalls.list
    found = []
    for row in range(tree.topLevelItemCount()):
        top = tree.topLevelItem(row)
        assert top is not None
        found.append(row_of(top))
        for below in range(top.childCount()):
            child = top.child(below)
            assert child is not None
            found.append(row_of(child))
    return found


def row_of(item: QTreeWidgetItem) -> str:
    return "|".join(plain(item.text(column)) for column in range(4))


@pytest.mark.usefixtures("recall")
def test_a_recall_names_whom_to_call_and_what_is_still_open(
    page: StockPage, settle: Settle
) -> None:
    keys(page, "Ctrl+R")
    settle()
    of_lot, patient = texts(page)
    assert "open: 1 still to call" in of_lot
    assert "0 of 2 back" in of_lot
    assert patient.startswith("Quentin Zimt, telephone 555 0142|")
    assert "not called yet" in patient
    assert unnamed(page) == []


def test_what_is_still_here_stands_below_whom_to_call(
    page: StockPage, context: Context, desk: Desk, settle: Settle, signing: list[str]
) -> None:
    made = start(replace(desk, person=context.desk.person), "zinc paste", "1 x 60 g")
    with desk.store.writing(ACT, "keep") as writing:
        writing.put(FilledJar(f"{made.lot}/1", made.id, Place.SHELF, grams(60)))
    stock = list_stock(desk.store, desk.today)
    talc = next(each for each in stock.lots if each.ingredient == "Talc")
    weigh(context.desk, talc.holdings[0].container, grams(5), made.lot)
    page.open_lot(talc.lot.id)
    settle()
    keys(page, "Ctrl+Shift+W")
    typed("glass in a container")
    keys(page, "Ctrl+Return")
    settle()
    assert len(signing) == 1
    assert page.recalls.isVisible()
    _, here = texts(page)
    assert here.startswith(f"Still here: 1 container|{made.lot}/1|frozen; put it aside")
    keys(page, "Down")
    assert not page.recalls.call.isEnabled()


def test_calls_are_noted_and_the_recall_is_closed_by_keys(
    page: StockPage, desk: Desk, recall: Recall, settle: Settle, signing: list[str]
) -> None:
    keys(page, "Ctrl+R")
    settle()
    keys(page, "Down")
    keys(page, "Ctrl+E")
    assert "Quentin Zimt, telephone 555 0142" in plain(page.recalls.question.heading.text())
    form = page.recalls.question.form
    assert form is not None
    form.inputs["outcome"].set_text(Outcome.RETURNED.value)
    form.inputs["jars"].setFocus()
    typed(recall.contacts[0].jar_ids[0].partition("/")[0])
    keys(page, "Return")
    settle()
    assert "2 of 2 back" in texts(page)[0]
    assert "; back: " in texts(page)[1]
    keys(page, "Ctrl+Shift+U")
    typed("both jars are back")
    keys(page, "Return")
    settle()
    kept = desk.store.get(Recall, recall.id)
    assert kept is not None
    assert kept.closed is not None
    assert kept.finding == "both jars are back"
    assert len(signing) == 1
    assert "closed" in texts(page)[0]


def test_no_more_comes_back_than_was_handed_over_and_nobody_signs_before_all_are_reached(
    page: StockPage, context: Context, recall: Recall, settle: Settle, signing: list[str]
) -> None:
    keys(page, "Ctrl+R")
    settle()
    keys(page, "Ctrl+Shift+U")
    assert context.say.history[-1].message.key == "stock.recall.still_to_call"
    assert not page.recalls.question.asking
    for named, key in (("K99-00001/1", "not_theirs"), (recall.contacts[0].jar_ids[0], "")):
        keys(page, "Down")
        keys(page, "Ctrl+E")
        form = page.recalls.question.form
        assert form is not None
        form.inputs["jars"].setFocus()
        typed(named)
        keys(page, "Return")
        settle()
        assert not key or context.say.history[-1].message.key == f"stock.recall.{key}"
        if key:
            keys(page, "Escape")
            keys(page, "Up")
    assert "1 of 2 back" in texts(page)[0]
    assert signing == []


def test_without_any_recall_the_page_says_how_one_is_begun(page: StockPage, settle: Settle) -> None:
    keys(page, "Ctrl+R")
    settle()
    assert "No lot was ever recalled" in page.recalls.nothing.text()
    keys(page, "Escape")
    assert page.listing.isVisible()


def test_a_reader_isn_t_told_whom_to_call(
    page: StockPage, context: Context, recall: Recall, settle: Settle
) -> None:
    reader = next(each for each in context.people if each.post is Post.READER)
    context.seat(replace(context.desk, person=reader))
    keys(page, "Ctrl+R")
    settle()
    assert recall.contacts
    assert not any("Quentin" in each or "0142" in each for each in texts(page))
    assert context.say.history[-1].message.key == "roles.may_not"
