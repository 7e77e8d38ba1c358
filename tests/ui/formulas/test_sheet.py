"""The formula sheet is written from the page of formulas by its key, from the search too."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from tests.helpers.pdf_text import page_texts, squeezed
from tests.ui.file_questions import choose_file
from tests.ui.formulas.conftest import Find, press
from ui.formulas.page import FormulasPage

KEYS = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


def test_the_sheet_of_the_version_in_view_is_written(
    find: Find,
    settle: Callable[[], None],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    out = tmp_path / "sheet.pdf"
    choose_file(monkeypatch, out)
    find("urea cream")
    press(Qt.Key.Key_P, KEYS)
    settle()
    text = squeezed("".join(page_texts(out.read_bytes())))
    assert squeezed("Formula sheet") in text
    assert squeezed("CR-003, version 2") in text


def test_without_a_formula_there_is_none(page: FormulasPage, find: Find) -> None:
    find("nothing is called so")
    assert not page.sheet.isEnabled()
