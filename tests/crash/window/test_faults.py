"""A disk that is full, a file that is locked: while somebody types, and while it is opened."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing, contextmanager, suppress
from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from formulary.drafts import Draft
from formulary.records.opening import open_store
from formulary.records.schema import connected
from tests.crash.small_disk import MEGABYTE, read_only, small_disk
from tests.crash.window.in_front import InFront, at_work, begun
from tests.helpers.desks import ADA, PIN
from ui.context import PageName
from ui.first_start.not_open import NotOpenPage
from ui.formulas.page import FormulasPage
from ui.orders.page import OrdersPage

TITLE = "Cooling gel"


@pytest.fixture
def disk(tmp_path: Path, furnished_file: Path) -> Iterator[Path]:
    """Return a house on a disk of its own."""
    folder = tmp_path / "disk"
    folder.mkdir()
    with small_disk(folder, furnished_file.stat().st_size + 4 * MEGABYTE) as mounted:
        if not mounted:
            pytest.skip("this user may mount no disk")
        yield Path(shutil.copy(furnished_file, folder / "house.misce"))


@contextmanager
def full(house: Path) -> Iterator[None]:
    """Let there be no room on the disk of a house."""
    ballast = house.with_name("ballast")
    with ballast.open("wb", buffering=0) as file, suppress(OSError):
        while file.write(b"\0" * 4096):
            pass
    try:
        yield
    finally:
        ballast.unlink()


@contextmanager
def held(house: Path) -> Iterator[None]:
    """Let another program write into a house without an end."""
    with closing(connected(house)) as other:
        other.execute("BEGIN EXCLUSIVE")
        yield
        other.rollback()


Fault = Callable[[Path], AbstractContextManager[None]]
FAULTS = [(full, "There is no room left on the disk"), (held, "in use by another program")]


def drafts(house: Path) -> list[str]:
    with closing(open_store(house)) as store:
        return [each.fields for each in store.every(Draft)]


def in_editor(qtbot: QtBot, house: Path) -> InFront:
    """Let somebody begin a new formula."""
    front = at_work(qtbot, house)
    front.signs_in(ADA, PIN)
    page = front.page(FormulasPage)
    front.press("Ctrl+N")
    front.wait(lambda: page.session is not None and page.session.active)
    front.settled()
    return front


@pytest.mark.parametrize(("fault", "sentence"), FAULTS)
def test_what_is_typed_meanwhile_is_kept_once_it_can_be(
    disk: Path, fault: Fault, sentence: str, qtbot: QtBot
) -> None:
    front = in_editor(qtbot, disk)
    with fault(disk):
        front.type(TITLE)
        front.wait(front.refused)
        assert sentence in front.refused()
        assert "tried again every few seconds" in front.refused()
    front.wait(lambda: not front.refused())
    assert "is kept now" in front.told()
    assert any(TITLE in each for each in drafts(disk))


@pytest.mark.parametrize(("fault", "sentence"), FAULTS)
def test_an_order_that_is_being_taken_is_kept_too_and_taken_after(
    disk: Path, fault: Fault, sentence: str, qtbot: QtBot
) -> None:
    front = at_work(qtbot, disk)
    front.signs_in(ADA, PIN)
    front.window.show_page(PageName.ORDERS.value)
    front.settled()
    page = front.page(OrdersPage)
    front.press("Ctrl+N")
    front.wait(lambda: page.form.form is not None)
    assert page.form.form is not None
    line = page.form.form.inputs["patient"].findChild(QLineEdit) or front.focused()
    with fault(disk):
        QTest.keyClicks(line, "Penhale")
        front.wait(front.refused)
        assert sentence in front.refused()
    front.wait(lambda: not front.refused())
    assert "is kept now" in front.told()
    assert page.form.form.values()["patient"] == "Penhale"


def test_a_disk_that_is_full_at_the_start_is_said_and_tried_again(disk: Path, qtbot: QtBot) -> None:
    with full(disk):
        front = begun(qtbot, disk)
        page = front.page(NotOpenPage)
        assert "There is no room left on the disk" in page.why.text()
        assert not page.choice.isVisible()
    front.press("F5")
    front.wait(lambda: front.window.context.is_open)


def test_a_disk_that_can_t_be_written_is_said_and_tried_again(
    tmp_path: Path, furnished_file: Path, qtbot: QtBot
) -> None:
    folder = tmp_path / "disk"
    folder.mkdir()
    with small_disk(folder, furnished_file.stat().st_size + MEGABYTE) as mounted:
        if not mounted and os.geteuid() == 0:
            pytest.skip("nothing is read-only to this user")
        house = Path(shutil.copy(furnished_file, folder / "house.misce"))
        with read_only(folder, mounted=mounted):
            front = begun(qtbot, house)
            page = front.page(NotOpenPage)
            assert "can't be written" in page.why.text()
            assert "open the copy" in page.why.text()
            front.press("F5")
            front.wait(lambda: "still so" in front.told())
        front.press("F5")
        front.wait(lambda: front.window.context.is_open)
        front.window.close()
