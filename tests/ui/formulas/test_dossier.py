"""A file is kept with a formula by keys, and stands on its leaf."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtWidgets import QFileDialog, QPushButton

from formulary.dossier import DossierItem, DossierKind
from tests.helpers.stocked import PDF
from tests.ui.at_desk import plain, unnamed
from tests.ui.file_questions import choose_file
from tests.ui.formulas.conftest import Find, press
from tests.ui.stock.keyboard import typed
from ui.formulas.leaf_html import KEEP_FILE
from ui.formulas.page import FormulasPage
from ui.window import Window

KEYS = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


def test_a_study_is_kept_with_the_formula_in_view(
    window: Window,
    page: FormulasPage,
    find: Find,
    settle: Callable[[], None],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    study = tmp_path / "study.pdf"
    study.write_bytes(PDF)
    choose_file(monkeypatch, study)
    window.context.seat(replace(window.context.desk, signed_in=True))
    find("urea cream")
    press(Qt.Key.Key_O, KEYS)
    assert page.dossier.asking
    assert unnamed(page) == []
    form = page.dossier.form
    assert form is not None
    form.inputs["part"].set_text(DossierKind.STABILITY.value)
    form.inputs["title"].setFocus()
    typed("Study of 2025")
    press(Qt.Key.Key_Return)
    settle()
    assert page.dossier.form is None
    (kept,) = window.context.desk.store.every(DossierItem)
    assert (kept.part, kept.title) == (DossierKind.STABILITY, "Study of 2025")
    settle()
    assert "Stability: Study of 2025" in plain(page.leaf.toPlainText())


def test_the_leaf_leads_to_keeping_a_file_and_the_acts_stand_in_one_row(
    window: Window, page: FormulasPage, find: Find, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[QFileDialog] = []

    def ask(question: QFileDialog) -> None:
        asked.append(question)

    monkeypatch.setattr(QFileDialog, "open", ask)
    window.context.seat(replace(window.context.desk, signed_in=True))
    find("urea cream")
    page.leaf.anchorClicked.emit(QUrl(KEEP_FILE))
    assert len(asked) == 1
    rows = {each.y() for each in (page.search, *_acts(page))}
    assert len(rows) == 1


def _acts(page: FormulasPage) -> list[QPushButton]:
    strip = page.search.parentWidget()
    assert strip is not None
    return [each for each in strip.findChildren(QPushButton) if each.isVisible()]
