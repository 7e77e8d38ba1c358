"""A printer of this computer that only keeps what it was given, and a file that is asked for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import cast

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from tests.helpers.pdf_text import page_texts, squeezed
from ui.files import SAVED
from ui.papers import printers

OFFICE = "office"


class Chosen:
    """What the system's question answers: a printer by its name, and how many copies."""

    OutputFormat = QPrinter.OutputFormat

    def outputFormat(self) -> QPrinter.OutputFormat:
        return QPrinter.OutputFormat.NativeFormat

    def printerName(self) -> str:
        return OFFICE

    def copyCount(self) -> int:
        return 2


@dataclass(frozen=True, slots=True)
class FakePrinter:
    """An ``lp`` in a folder of its own that keeps its arguments and its file."""

    folder: Path

    @property
    def arguments(self) -> list[str]:
        """What it was called with."""
        return (self.folder / "arguments").read_text().splitlines()

    @property
    def text(self) -> str:
        """What it printed, without spaces."""
        return text_of(self.folder / "printed.pdf")

    def refuses(self, why: str) -> None:
        """Let it take nothing more."""
        (self.folder / "programs" / "lp").write_text(f"#!/bin/sh\necho {why} >&2\nexit 1\n")


def fake_printer(monkeypatch: pytest.MonkeyPatch, folder: Path) -> FakePrinter:
    """Let every question for a printer be answered by one that keeps what it is given."""
    (folder / "programs").mkdir()
    script = folder / "programs" / "lp"
    script.write_text(
        "#!/bin/sh\n"
        f'for one in "$@"; do printf "%s\\n" "$one" >> "{folder}/arguments"; done\n'
        f'for last; do :; done\n/bin/cp "$last" "{folder}/printed.pdf"\n'
    )
    script.chmod(0o755)
    monkeypatch.setenv("PATH", str(folder / "programs"))

    def answer(_parent: QWidget, then: Callable[[QPrinter], None]) -> None:
        then(cast("QPrinter", Chosen()))

    monkeypatch.setattr(printers, "ask_printer", answer)
    return FakePrinter(folder)


def text_of(pdf: Path) -> str:
    """Return what a PDF says, without spaces."""
    return squeezed("".join(page_texts(pdf.read_bytes())))


def save_into(folder: Path) -> None:
    """Let the question for a file propose this folder."""
    QSettings().setValue(SAVED, str(folder))


def accept_file(qtbot: QtBot) -> None:
    """Press Enter in the question for a file, which is then gone."""
    qtbot.waitUntil(lambda: bool(_questions()))
    QTest.keyClick(_questions()[0].findChildren(QLineEdit)[0], Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not _questions())


def _questions() -> list[QFileDialog]:
    every = QApplication.topLevelWidgets()
    return [each for each in every if isinstance(each, QFileDialog) and each.isVisible()]
