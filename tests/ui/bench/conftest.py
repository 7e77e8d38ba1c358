"""A bench in the window: a stocked pharmacy in memory, a preparation, and keys."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pytest
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from formulary.desk import Desk
from formulary.people import Person
from tests.helpers.desks import CID, PIN, a_desk, furnished
from tests.helpers.memory_store import MemoryStore
from tests.helpers.stocked_bench import Job, a_job, a_stocked_house
from tests.ui.at_desk import plain
from ui import theme
from ui.bench.page import BenchPage
from ui.context import Context
from ui.sign_in.asking import Asking

CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
NONE = Qt.KeyboardModifier.NoModifier


@dataclass
class AtPage:
    """The page with a preparation, worked by keys."""

    qtbot: QtBot
    context: Context
    page: BenchPage
    asking: Asking
    job: Job

    def settle(self) -> None:
        """Wait until nothing is under way."""
        operations = self.context.operations
        self.qtbot.waitUntil(lambda: not operations.busy)
        QApplication.processEvents()
        self.qtbot.waitUntil(lambda: not operations.busy)

    def press(self, key: Qt.Key, modifier: Qt.KeyboardModifier = NONE) -> None:
        """Press a key where the focus is."""
        QTest.keyClick(self.focused(), key, modifier)
        self.settle()

    def enter(self, text: str = "") -> None:
        """Type a text as fast as a scanner, and press Enter."""
        QTest.keyClicks(self.focused(), text)
        self.press(Qt.Key.Key_Return)

    def sign(self, pin: str = PIN) -> None:
        """Type a PIN into the question for it."""
        assert self.asking.dialog is not None
        QTest.keyClicks(self.asking.dialog.pin, pin)
        QTest.keyClick(self.asking.dialog.pin, Qt.Key.Key_Return)
        self.settle()

    def focused(self) -> QWidget:
        """Return where the keys go."""
        widget = QApplication.focusWidget()
        assert widget is not None
        return widget

    @property
    def heading(self) -> str:
        """What is to do."""
        return plain(self.page.view.heading.text())

    @property
    def trouble(self) -> str:
        """Why it can't be done."""
        return self.page.view.trouble.text()


@pytest.fixture
def desk() -> Desk:
    """Return Cid's desk in a stocked pharmacy."""
    return a_stocked_house(a_desk(furnished(MemoryStore()), CID))


@pytest.fixture
def context(desk: Desk, qapp: QApplication) -> Iterator[Context]:
    """Return a context at that desk."""
    QCoreApplication.setOrganizationName("misce")
    QCoreApplication.setApplicationName("misce")
    theme.apply(qapp, type_factor=1.0, dark=False)
    made = Context()
    made.sit_down(desk, desk.house, tuple(desk.store.every(Person)))
    yield made
    made.leave()


@pytest.fixture
def beside(qtbot: QtBot, context: Context) -> Callable[[Job], AtPage]:
    """Return what brings the page to the front with a preparation."""

    def bring(job: Job) -> AtPage:
        page = BenchPage(context)
        asking = Asking(context, page)
        context.sign_in_wanted.connect(asking.sign_in)
        context.signature_wanted.connect(asking.sign)
        qtbot.addWidget(page)
        page.resize(1280, 760)
        with qtbot.waitActive(page):
            page.show()
            page.activateWindow()
        made = AtPage(qtbot, context, page, asking, job)
        if job.lot:
            page.take(job.lot)
        page.shown()
        made.settle()
        return made

    return bring


@pytest.fixture
def job(desk: Desk) -> Job:
    """Return a started preparation of four lines."""
    return a_job(desk).started()
