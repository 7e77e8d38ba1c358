"""What is on the shelf shows without asking, and a scan shows that very jar."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.preparation import Preparation
from formulary.store import Sorting
from tests.helpers.kept import ACT
from tests.ui.at_desk import plain, start, unnamed
from tests.ui.register.conftest import PATIENT
from tests.ui.stock.keyboard import keys
from ui.context import Context
from ui.register.page import RegisterPage
from ui.register.register_model import Column

Settle = Callable[[], None]
Show = Callable[[QWidget], None]


def scan(page: RegisterPage, code: str, settle: Settle) -> None:
    page.search.setFocus()
    page.search.clear()
    QTest.keyClicks(page.search, code)
    QTest.keyClick(page.search, Qt.Key.Key_Return)
    settle()


def lots(page: RegisterPage) -> list[str]:
    model = page.model
    return [str(model.index(row, Column.LOT).data()) for row in range(model.rowCount())]


def test_a_scan_shows_the_jar_to_somebody_who_hasn_t_signed_in(
    register: RegisterPage, context: Context, paste: Preparation, settle: Settle
) -> None:
    context.lock()
    scan(register, f"{paste.lot}/3", settle)
    assert register.jar.isVisible()
    said = plain(register.jar.said())
    assert f"{paste.lot}/3: {paste.title}" in said
    assert "Use by" in said
    assert "on the shelf" in said
    assert PATIENT not in said
    assert unnamed(register) == []


def test_a_jar_at_a_patient_s_is_shown_without_the_patient(
    register: RegisterPage, paste: Preparation, settle: Settle
) -> None:
    scan(register, f"{paste.lot}/1", settle)
    assert "handed over to a patient" in register.jar.said()
    assert PATIENT not in register.jar.said()


def test_the_code_of_a_label_is_the_lot_alone(
    register: RegisterPage, paste: Preparation, settle: Settle
) -> None:
    scan(register, paste.lot, settle)
    assert register.jar.isVisible()
    QTest.keySequence(register.jar, "Ctrl+Return")
    settle()
    assert register.details.isVisible()


def test_a_jar_that_was_never_filled_is_refused_in_words(
    register: RegisterPage, context: Context, paste: Preparation, settle: Settle
) -> None:
    scan(register, f"{paste.lot}/9", settle)
    assert not register.jar.isVisible()
    assert context.say.history[-1].message.key == "register.complaint.no_jar"


def test_escape_leads_from_the_jar_back_to_the_list(
    register: RegisterPage, paste: Preparation, settle: Settle
) -> None:
    scan(register, paste.lot, settle)
    keys(register.jar, "Esc")
    assert register.table.isVisible()


def test_what_is_past_its_date_shows_without_asking(
    context: Context, desk: Desk, paste: Preparation, show: Show
) -> None:
    old = replace(paste, stage=Stage.PACKED)
    with desk.store.writing(ACT, "age") as writing:
        kept = desk.store.get(Preparation, old.id)
        assert kept is not None
        writing._records[Preparation, old.id] = replace(  # type: ignore[attr-defined]
            kept, use_by=desk.today - timedelta(days=1)
        )
    page = RegisterPage(context)
    show(page)
    assert page.listing.to_go.text() == "1 container has to go: 1 expired."
    keys(page.search, "Ctrl+J")
    item = page.shelf.list.topLevelItem(0)
    assert item is not None
    assert [item.text(0), item.text(2)] == [f"{paste.lot}/3", "expired"]


def test_the_shelf_opens_the_record_of_its_jar(
    register: RegisterPage, paste: Preparation, settle: Settle
) -> None:
    keys(register.search, "Ctrl+J")
    assert register.shelf.list.hasFocus()
    QTest.keyClick(register.shelf.list, Qt.Key.Key_Return)
    settle()
    assert paste.lot in register.details.title.text()


def test_the_list_is_narrowed_to_a_stage(
    register: RegisterPage, desk: Desk, settle: Settle
) -> None:
    planned = start(desk, "urea cream", "2 x 100 g")
    register.shown()
    settle()
    assert len(lots(register)) == 2
    stage = register.listing.stage
    stage.setCurrentIndex(stage.findData(Stage.PLANNED.value))
    settle()
    assert lots(register) == [planned.lot]
    stage.setCurrentIndex(stage.findData(Stage.REJECTED.value))
    settle()
    assert "at this stage" in register.nothing.text()


@pytest.mark.parametrize(
    ("column", "sortings"),
    [
        (Column.USE_BY, (Sorting.ENDS_FIRST, Sorting.ENDS_LAST)),
        (Column.MADE_ON, (Sorting.OLDEST, Sorting.NEWEST)),
    ],
)
def test_a_heading_sorts_and_once_more_turns_the_order_round(
    register: RegisterPage, settle: Settle, column: Column, sortings: tuple[Sorting, Sorting]
) -> None:
    header = register.table.horizontalHeader()
    for sorting in sortings:
        header.sectionClicked.emit(column)
        settle()
        assert register.listing.sorting.currentData() == sorting.value
