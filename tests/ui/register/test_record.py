"""The record of a preparation: what happened in words, its jars, complaints and figures."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

import pytest

from formulary.bench.kept import BenchEvent
from formulary.desk import Desk
from formulary.preparation import Preparation
from formulary.register.complaint import Complaint, Nature, Teller
from formulary.register.series import Figure, Measure, series_of
from tests.helpers.memory_store import MemoryStore
from tests.helpers.pdf_text import squeezed
from tests.ui.at_desk import plain, unnamed
from tests.ui.papers.printing import fake_printer
from tests.ui.register.conftest import PATIENT
from tests.ui.stock.keyboard import keys, typed
from ui.context import Context
from ui.register.page import RegisterPage

Settle = Callable[[], None]


@pytest.fixture
def page(register: RegisterPage, paste: Preparation, settle: Settle) -> RegisterPage:
    register.open_lot(paste.lot)
    settle()
    return register


def test_events_are_told_in_words_and_jars_with_where_they_are(
    page: RegisterPage, paste: Preparation
) -> None:
    told = [plain(each) for each in page.details.happenings.texts()]
    assert any("3 containers" in each for each in told)
    assert any(each.startswith(f"{paste.lot}/1|") and "patient" in each for each in told)
    assert any(each.startswith(f"{paste.lot}/3|") and "on the shelf" in each for each in told)
    assert not any(PATIENT in each for each in told)
    assert unnamed(page) == []


def test_the_record_goes_to_the_printer_without_the_patient(
    page: RegisterPage,
    paste: Preparation,
    settle: Settle,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    printer = fake_printer(monkeypatch, tmp_path)
    keys(page.details, "Ctrl+P")
    settle()
    assert paste.lot in printer.text
    assert squeezed(PATIENT) not in printer.text


def test_a_complaint_is_entered_by_keys_and_decided_by_a_signature(
    page: RegisterPage, signing: list[str], settle: Settle
) -> None:
    keys(page.details, "Ctrl+N")
    form = page.details.complaints.question.form
    assert form is not None
    form.inputs["nature"].set_text(Nature.LOOKS_DIFFERENT.value)
    form.inputs["told_by"].set_text(Teller.WARD.value)
    form.inputs["jar"].setFocus()
    typed("2")
    form.inputs["what"].setFocus()
    typed("It is yellow this time.")
    keys(page.details, "Ctrl+Return")
    settle()
    item = page.details.complaints.list.topLevelItem(0)
    assert item is not None
    assert [item.text(2), item.text(3)] == ["2", "It is yellow this time."]
    assert "Waits" in item.text(4)
    keys(page.details, "Ctrl+E")
    typed("The new wax is yellower.")
    keys(page.details, "Ctrl+Return")
    settle()
    assert len(signing) == 1
    decided = page.details.complaints.list.topLevelItem(0)
    assert decided is not None
    assert "The new wax is yellower." in decided.text(4)


def test_a_name_in_a_complaint_is_refused_and_what_was_typed_stays(
    page: RegisterPage, context: Context, signing: list[str], settle: Settle
) -> None:
    assert signing == []
    keys(page.details, "Ctrl+N")
    form = page.details.complaints.question.form
    assert form is not None
    form.inputs["what"].set_text("Mr Zimt has a rash.")
    keys(page.details, "Ctrl+Return")
    settle()
    assert context.say.history[-1].message.key == "register.complaint.named"
    assert form.values()["what"] == "Mr Zimt has a rash."
    assert context.desk.store.every(Complaint) == []


def test_escape_takes_a_complaint_back_before_it_leaves_the_record(page: RegisterPage) -> None:
    keys(page.details, "Ctrl+N")
    keys(page.details, "Esc")
    assert page.details.isVisible()
    assert not page.details.complaints.asking
    keys(page.details, "Esc")
    assert page.table.isVisible()


def test_the_figures_of_the_formula_are_one_key_further(
    page: RegisterPage, paste: Preparation, settle: Settle
) -> None:
    keys(page.details, "Ctrl+G")
    settle()
    assert plain(page.charts.title.text()) == f"{paste.title}: figures over time"
    names = [each.accessibleName() for each in page.charts.pictures]
    assert names[0] == "Yield, % of the batch"
    assert "Limits are drawn from 8" in page.charts.pictures[0].accessibleDescription()
    keys(page.charts, "Esc")
    assert page.table.isVisible()


def test_a_chart_says_which_batch_lies_outside(page: RegisterPage) -> None:
    values = [Fraction(99), Fraction(100)] * 8
    values[11] = Fraction(80)
    page.charts.show_series(
        series_of(
            Figure(f"L-{n}", date(2026, 1, 1) + timedelta(days=n), Measure.YIELD, value)
            for n, value in enumerate(values)
        )
    )
    (picture,) = page.charts.pictures
    assert "Outside: L-11." in picture.accessibleDescription()
    assert not picture.grab().toImage().isNull()


def test_a_signature_says_whether_what_was_signed_is_unchanged(
    register: RegisterPage, desk: Desk, paste: Preparation, settle: Settle
) -> None:
    def of_the_plan() -> tuple[str, str]:
        register.open_lot(paste.lot)
        settle()
        tree = register.details.happenings.events
        rows = (tree.topLevelItem(row) for row in range(tree.topLevelItemCount()))
        row = next(each for each in rows if each is not None and each.toolTip(2))
        tree.setCurrentItem(row)
        return plain(register.details.happenings.whole.text()), row.text(2)

    whole, by = of_the_plan()
    assert "What was signed is unchanged since." in whole
    assert "stand" not in by
    events = desk.store.having(BenchEvent, preparation_id=paste.id)
    first = min(events, key=lambda each: each.number)
    # Written over as somebody could who goes round the program.
    assert isinstance(desk.store, MemoryStore)
    desk.store._records[BenchEvent, first.id] = replace(first, person="Somebody else")
    whole, by = of_the_plan()
    assert "the signature doesn't stand" in whole
    assert by.endswith("signature doesn't stand")
