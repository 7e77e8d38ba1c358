"""Questions for files: where they begin, and what a file says that can't be read or written."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from formulary.errors import Refusal
from ui.files import OPENED, SAVED, ask_to_open, ask_to_save, last_folder, read_file, writing_to


@pytest.fixture
def page(qtbot: QtBot) -> QWidget:
    made = QWidget()
    qtbot.addWidget(made)
    made.show()
    return made


def asked(page: QWidget, qtbot: QtBot) -> QFileDialog:
    qtbot.waitUntil(lambda: bool(page.findChildren(QFileDialog)))
    question = page.findChildren(QFileDialog)[0]
    qtbot.waitUntil(question.isVisible)
    return question


def press(question: QFileDialog, key: Qt.Key, text: str = "") -> None:
    line = question.findChildren(QLineEdit)[0]
    if text:
        line.setText(text)
    QTest.keyClick(line, key)


def test_the_window_goes_on_while_a_file_is_asked_for(page: QWidget, qtbot: QtBot) -> None:
    chosen: list[Path] = []
    ask_to_open(page, "Choose a table", chosen.append)
    question = asked(page, qtbot)
    assert chosen == []
    press(question, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: not page.findChildren(QFileDialog))
    assert chosen == []


def test_the_next_question_begins_where_the_last_one_ended(
    page: QWidget, qtbot: QtBot, tmp_path: Path
) -> None:
    table = tmp_path / "there" / "table.csv"
    table.parent.mkdir()
    table.write_text("name\n")
    chosen: list[Path] = []
    ask_to_open(page, "Choose a table", chosen.append, folder=tmp_path)
    press(asked(page, qtbot), Qt.Key.Key_Return, str(table))
    qtbot.waitUntil(lambda: chosen == [table])
    assert last_folder(OPENED) == table.parent
    assert last_folder(SAVED) != table.parent


def test_enter_takes_the_name_that_is_proposed(page: QWidget, qtbot: QtBot, tmp_path: Path) -> None:
    chosen: list[Path] = []
    ask_to_save(page, "Save", "sheet.pdf", chosen.append)
    press(asked(page, qtbot), Qt.Key.Key_Return, str(tmp_path / "sheet"))
    qtbot.waitUntil(lambda: chosen == [tmp_path / "sheet.pdf"])


def test_a_file_that_can_t_be_read_or_written_is_named_with_the_reason(tmp_path: Path) -> None:
    with pytest.raises(Refusal) as told:
        read_file(tmp_path)
    assert dict(told.value.message.parameters) == {"place": str(tmp_path), "why": "Is a directory"}
    gone = tmp_path / "gone" / "sheet.pdf"
    with pytest.raises(Refusal) as told, writing_to(gone):
        gone.write_bytes(b"")
    assert told.value.message.key == "ui.file.cannot_write"
