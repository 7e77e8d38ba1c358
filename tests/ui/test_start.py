"""The start: nothing heavy before the first paint, and what is asked where nothing is kept."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QProcess, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from formulary.house import House
from formulary.records.opening import open_store
from tests.helpers.desks import furnished
from tests.ui.conftest import PATIENCE_MS, settled
from ui.context import Context, SigningIn
from ui.first_start.not_open import NotOpenPage
from ui.first_start.page import FirstStartPage
from ui.opening import Opening
from ui.options import read_options
from ui.sign_in.dialog import PinDialog
from ui.window import Window

NOT_YET = ("formulary.calculations.alligation", "ui.calculations")
HEAVY = ("sqlalchemy", "alembic", "reportlab", "pint", "pypdfium2", "barcode", "psycopg", *NOT_YET)

_SHOW = """
import sys
from ui.main import application
from ui.options import Options
from ui.context import Context
from ui.window import Window
app = application(Options())
window = Window(Context())
window.show_empty()
window.show()
app.processEvents()
print(",".join(each for each in {heavy!r} if each in sys.modules))
window.close()
"""

_LIST = """
import sys
from ui.main import application
from ui.options import Options
from ui.context import Context
from ui.opening import Opening
import ui.window
app = application(Options())
class Window(ui.window.Window):
    def show_list(self, hits):
        print(len(hits), ",".join(each for each in {heavy!r} if each in sys.modules))
        sys.stdout.flush()
        app.exit()
window = Window(Context())
window.show_empty()
Opening(window, {location!r}).begin()
app.exec()
"""


def test_nothing_heavy_is_loaded_before_the_list_is_shown(sample_file: Path) -> None:
    program = _LIST.format(heavy=HEAVY, location=str(sample_file))
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    count, _, heavy = done.stdout.strip().partition(" ")
    assert (int(count) > 30, heavy) == (True, "")


def test_nothing_heavy_is_loaded_before_the_first_paint() -> None:
    program = _SHOW.format(heavy=HEAVY)
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == ""


@pytest.fixture
def fresh(qtbot: QtBot, look: None, tmp_path: Path) -> Iterator[Window]:  # noqa: ARG001
    """Return a window started where nothing is kept yet."""
    window = Window(Context())
    window.show_empty()
    window.show()
    Opening(window, str(tmp_path / "new" / "house.misce")).begin()
    qtbot.waitUntil(lambda: isinstance(window._first, FirstStartPage), timeout=PATIENCE_MS)
    settled(qtbot, window)
    yield window
    window.close()


def test_nothing_is_said_to_be_opening_while_it_asks_what_to_open(fresh: Window) -> None:
    assert fresh.speech.news() == ""


def test_enter_opens_the_sample_pharmacy(qtbot: QtBot, fresh: Window) -> None:
    QTest.keyClick(fresh.focusWidget(), Qt.Key.Key_Return)
    # Two months of work are done before it opens.
    qtbot.waitUntil(lambda: fresh.context.is_open, timeout=5 * PATIENCE_MS)
    settled(qtbot, fresh)
    assert fresh.context.house.sample
    assert fresh.header.isVisible()


def test_a_house_of_ones_own_begins_with_two_names(qtbot: QtBot, fresh: Window) -> None:
    page = fresh._first
    assert isinstance(page, FirstStartPage)
    page.house.setFocus()
    QTest.keyClicks(page.house, "Bridge Pharmacy")
    QTest.keyClicks(page.person, "Ada Berg")
    QTest.keyClick(page.person, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: fresh.context.is_open, timeout=PATIENCE_MS)
    settled(qtbot, fresh)
    assert fresh.context.house.name == "Bridge Pharmacy"
    assert [each.name for each in fresh.context.people] == ["Ada Berg"]


def test_the_first_pin_of_a_house_is_typed_twice(qtbot: QtBot, fresh: Window) -> None:
    page = fresh._first
    assert isinstance(page, FirstStartPage)
    page.house_wanted.emit("Bridge Pharmacy", "Ada Berg")
    qtbot.waitUntil(lambda: fresh.context.is_open, timeout=PATIENCE_MS)
    settled(qtbot, fresh)
    fresh.context.sign_in_wanted.emit(SigningIn())
    asked = fresh.findChild(PinDialog)
    assert asked is not None
    assert asked.windowTitle() == "Choose your PIN"
    QTest.keyClicks(asked.pin, "2580")
    for slip in ("", "2508"):
        QTest.keyClicks(asked.again, slip)
        QTest.keyClick(asked.again, Qt.Key.Key_Return)
        settled(qtbot, fresh)
        assert not fresh.context.signed_in
    assert "aren’t alike" in asked.refusal.text()
    QTest.keyClicks(asked.again, "2580")
    QTest.keyClick(asked.again, Qt.Key.Key_Return)
    settled(qtbot, fresh)
    assert fresh.context.signed_in


def test_a_house_without_a_name_is_not_begun(qtbot: QtBot, fresh: Window) -> None:
    page = fresh._first
    assert isinstance(page, FirstStartPage)
    page.begin.trigger()
    settled(qtbot, fresh)
    assert page.house.hasFocus()
    assert not fresh.context.is_open
    assert fresh.context.house == House("", "")


def test_a_file_that_is_no_formulary_gets_a_sentence_and_the_choice_comes_back(
    qtbot: QtBot, fresh: Window, tmp_path: Path
) -> None:
    wrong = tmp_path / "letter.misce"
    wrong.write_text("Dear colleague,", encoding="utf-8")
    page = fresh._first
    assert isinstance(page, FirstStartPage)
    page.file_wanted.emit(str(wrong))
    qtbot.waitUntil(lambda: isinstance(fresh._first, NotOpenPage), timeout=PATIENCE_MS)
    refused = fresh._first
    assert isinstance(refused, NotOpenPage)
    assert f"There is no formulary in {wrong}" in refused.why.text()
    refused.other.trigger()
    assert isinstance(fresh._first, FirstStartPage)


def test_the_address_of_a_server_is_opened_by_enter(
    qtbot: QtBot, fresh: Window, postgres_url: str
) -> None:
    store = open_store(postgres_url)
    furnished(store)
    store.close()
    page = fresh._first
    assert isinstance(page, FirstStartPage)
    page.address.setFocus()
    QTest.keyClicks(page.address, postgres_url)
    QTest.keyClick(page.address, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: fresh.context.is_open, timeout=PATIENCE_MS)
    settled(qtbot, fresh)
    assert {each.name for each in fresh.context.people} >= {"Ada Berg", "Ben Cole"}


def test_another_formulary_is_asked_for_by_a_window_of_its_own(
    fresh: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    started: list[list[str]] = []
    monkeypatch.setattr(QProcess, "startDetached", lambda _, words: started.append(words))
    fresh.open_another()
    assert not fresh.isVisible()
    assert read_options(started[0][started[0].index("ui") + 1 :]).ask
