"""A photo that a step asks for is chosen, kept with it, and comes back from the register."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from formulary.desk import Desk
from formulary.formula.content import Ask, Asked
from tests.helpers.at_bench import a_step
from tests.helpers.formulas import a_formula, active
from tests.helpers.stocked_bench import Job, a_job, kept_well
from tests.ui.at_desk import plain
from tests.ui.bench.conftest import CTRL, AtPage
from tests.ui.file_questions import choose_file
from ui.context import Context
from ui.register.reading import read_made
from ui.register.result_files import ResultFiles

Bring = Callable[[Job], AtPage]
PICTURE = b"\xff\xd8\xff an invented picture"


@pytest.fixture
def at(beside: Bring, desk: Desk) -> AtPage:
    """Return the bench at the first of two steps that each ask for a photo."""
    asks = (Ask(Asked.PHOTO, "How it looks"),)
    steps = (a_step("Mix", asks=asks), a_step("Level it", asks=asks))
    content = kept_well(a_formula(active("Urea", "100 g"), steps=steps))
    made = beside(a_job(desk, content).started("100 g").cleared().weighs_all())
    assert made.heading == "Step 1 of 2"
    return made


def chosen(monkeypatch: pytest.MonkeyPatch, path: Path, data: bytes | None) -> None:
    """Let the dialog give a file with that content, or one that isn't there."""
    if data is not None:
        path.write_bytes(data)
    choose_file(monkeypatch, path)


def test_a_photo_is_kept_with_its_step_and_saved_again_from_the_register(
    at: AtPage, qtbot: QtBot, context: Context, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    chosen(monkeypatch, tmp_path / "mixed.jpg", PICTURE)
    at.press(Qt.Key.Key_O, CTRL)
    at.press(Qt.Key.Key_Return)
    assert at.heading == "Step 2 of 2"
    files = ResultFiles(context)
    qtbot.addWidget(files)
    files.show_made(read_made(at.job.desk, at.job.lot))
    assert files.which.currentText() == "Photo of step 1"
    out = tmp_path / "from the register"
    choose_file(monkeypatch, out)
    files.save.trigger()
    at.settle()
    assert out.with_suffix(".jpg").read_bytes() == PICTURE


def test_each_step_asks_for_a_photo_of_its_own(
    at: AtPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    at.press(Qt.Key.Key_Return)
    assert at.trouble
    assert at.heading == "Step 1 of 2"
    chosen(monkeypatch, tmp_path / "mixed.jpg", PICTURE)
    at.press(Qt.Key.Key_O, CTRL)
    at.press(Qt.Key.Key_Return)
    assert at.heading == "Step 2 of 2"
    at.press(Qt.Key.Key_Return)
    assert at.heading == "Step 2 of 2"


@pytest.mark.parametrize(
    ("data", "said"), [(b"%PDF-1.7 no picture", "no picture"), (None, "can’t be read")]
)
def test_what_is_no_photo_is_refused_with_a_sentence(
    at: AtPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, data: bytes | None, said: str
) -> None:
    chosen(monkeypatch, tmp_path / "there.jpg", data)
    at.press(Qt.Key.Key_O, CTRL)
    assert said in plain(at.trouble)
    assert at.heading == "Step 1 of 2"
