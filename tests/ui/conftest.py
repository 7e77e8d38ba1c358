"""Fixtures of the window: opened on a copy of the sample pharmacy, each test its own."""

from __future__ import annotations

import gc
import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from formulary.catalogue import PSEUDO
from ui import theme
from ui.context import Context
from ui.garbage import Garbage
from ui.messages import Said, Tone
from ui.opening import Opening
from ui.window import Window

Settle = Callable[[], None]
PATIENCE_MS = 20_000


@pytest.fixture(autouse=True)
def garbage(qapp: QApplication) -> Iterator[None]:
    """Collect what no test holds any more on the window's thread, as the program does."""
    collecting = Garbage(qapp)
    yield
    collecting.deleteLater()
    gc.enable()


@pytest.fixture
def house_file(sample_file: Path, tmp_path: Path) -> Path:
    """Return a copy of the sample pharmacy for this test."""
    return Path(shutil.copy(sample_file, tmp_path / "house.misce"))


@pytest.fixture
def look(qapp: QApplication) -> None:
    """Put the window's look in force."""
    theme.apply(qapp, type_factor=1.0, dark=False)


@pytest.fixture
def opened(qtbot: QtBot, look: None) -> Iterator[Callable[[Path, str], Window]]:  # noqa: ARG001
    """Return what opens a window on a file, in a language; all are closed in the end."""
    windows: list[Window] = []

    def open_window(path: Path, language: str = "en") -> Window:
        window = Window(Context(language))
        windows.append(window)
        window.resize(1280, 800)
        window.show_empty()
        window.show()
        Opening(window, str(path)).begin()
        qtbot.waitUntil(lambda: window.context.is_open, timeout=PATIENCE_MS)
        settled(qtbot, window)
        window.context.seat(replace(window.context.desk, signed_in=True))
        return window

    yield open_window
    for window in windows:
        window.close()


@pytest.fixture
def window(opened: Callable[[Path, str], Window], house_file: Path) -> Window:
    """Return the window open on the sample pharmacy, in English."""
    return opened(house_file, "en")


@pytest.fixture
def pseudo_window(opened: Callable[[Path, str], Window], house_file: Path) -> Window:
    """Return the window whose every sentence shows that it came from the catalogue."""
    return opened(house_file, PSEUDO)


@pytest.fixture
def settle(qtbot: QtBot, window: Window) -> Settle:
    """Return what waits until nothing is under way."""
    return lambda: settled(qtbot, window)


@pytest.fixture
def refusals(window: Window) -> Callable[[], list[str]]:
    """Return what tells the keys of everything the window refused."""
    history: list[Said] = window.context.say.history
    return lambda: [each.message.key for each in history if each.tone is Tone.REFUSAL]


def settled(qtbot: QtBot, window: Window) -> None:
    """Wait until nothing is under way in this window and what was delayed has happened."""
    operations = window.context.operations
    qtbot.waitUntil(lambda: not operations.busy, timeout=PATIENCE_MS)
    QApplication.processEvents()
    qtbot.waitUntil(lambda: not operations.busy, timeout=PATIENCE_MS)
