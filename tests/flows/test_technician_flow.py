"""What a technician does many times a day: a known formula, three jars, their labels."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QSettings, Qt
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from tests.flows.conftest import CTRL, Keyboard
from tests.helpers.pdf_text import page_texts, squeezed
from tests.ui.conftest import PATIENCE_MS, settled
from ui.files import SAVED
from ui.labels.page import LabelsPage
from ui.window import Window

MOST_KEYS = 20


def test_three_jars_are_labelled_with_at_most_twenty_keys(
    qtbot: QtBot, window: Window, keyboard: Keyboard, tmp_path: Path
) -> None:
    QSettings().setValue(SAVED, str(tmp_path))

    keyboard.press(Qt.Key.Key_K, CTRL)
    keyboard.type("urea cream", counted=False)
    keyboard.press(Qt.Key.Key_Return)
    keyboard.type("3 x 60 g")
    keyboard.press(Qt.Key.Key_Return, CTRL)
    keyboard.press(Qt.Key.Key_L, CTRL)
    labels = window.pages["labels"]
    assert isinstance(labels, LabelsPage)
    qtbot.waitUntil(labels.save_pdf.isEnabled, timeout=PATIENCE_MS)
    keyboard.press(Qt.Key.Key_E, CTRL)
    accept(qtbot, keyboard, labels)
    settled(qtbot, window)

    register = window.context.desk.store.register()
    lot = register[0].lot
    pages = [squeezed(text) for text in page_texts((tmp_path / f"{lot}.pdf").read_bytes())]
    assert len(pages) == 3
    assert all("Ureacream10%" in page and lot in page for page in pages)
    (proof,) = window.context.desk.store.prints(register[0].preparation_id)
    assert (proof.copies, proof.proof) == (3, True)
    assert keyboard.count <= MOST_KEYS


def accept(qtbot: QtBot, keyboard: Keyboard, page: LabelsPage) -> None:
    """Press Enter in the dialog for the file, which proposes the lot's name."""
    qtbot.waitUntil(lambda: bool(page.findChildren(QFileDialog)), timeout=PATIENCE_MS)
    dialog = page.findChildren(QFileDialog)[0]
    qtbot.waitUntil(dialog.isVisible, timeout=PATIENCE_MS)
    keyboard.press(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not page.findChildren(QFileDialog), timeout=PATIENCE_MS)
