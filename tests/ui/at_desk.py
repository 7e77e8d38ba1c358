"""Fixtures for the tests of single pages: the sample pharmacy in memory, and a page in view."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime

import pytest
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from formulary.acts import Act
from formulary.desk import Desk
from formulary.exchange.sample_house import sample_house
from formulary.formula.version import State, Version
from formulary.labels.page import Page
from formulary.labels.stock import LabelStock
from formulary.people import Person
from formulary.preparation import Preparation
from formulary.verbs.build_house import build_house
from formulary.verbs.start_preparation import Order, start_preparation
from tests.helpers.bench_work import packed
from tests.helpers.memory_store import MemoryStore
from ui import theme
from ui.context import Context, PageName

NOW = datetime(2026, 2, 3, 9, 30, tzinfo=UTC)


def page_key(page: PageName) -> Qt.Key:
    """Return the figure that opens a page together with Ctrl."""
    return Qt.Key(Qt.Key.Key_1 + list(PageName).index(page))


class StoppedClock:
    """A clock that shows one moment."""

    def now(self) -> datetime:
        return NOW


@pytest.fixture(scope="session")
def furnished() -> MemoryStore:
    """Return the sample pharmacy, to copy."""
    store = MemoryStore()
    book = sample_house(today=NOW.date())
    first = book.people[0]
    act = Act(first.id, first.name, first.post.value, "bench 1", NOW)
    build_house(store, act, book)
    return store


@pytest.fixture
def desk(furnished: MemoryStore) -> Desk:
    """Return a desk in a sample pharmacy of this test's own."""
    store = MemoryStore()
    store._records = dict(furnished._records)
    store._listed, store._entries = furnished._listed, furnished._entries
    store._containers, store._files = furnished._containers, dict(furnished._files)
    people = sorted(store.every(Person), key=lambda each: each.name)
    return Desk(store, StoppedClock(), people[0], "bench 1", signed_in=True)


@pytest.fixture
def context(desk: Desk, qapp: QApplication) -> Iterator[Context]:
    """Return a context at that desk; the worker ends with the test."""
    QCoreApplication.setOrganizationName("misce")
    QCoreApplication.setApplicationName("misce")
    theme.apply(qapp, type_factor=1.0, dark=False)
    made = Context()
    made.sit_down(desk, desk.house, tuple(desk.store.every(Person)))
    yield made
    made.leave()


@pytest.fixture
def settle(context: Context, qtbot: QtBot) -> Callable[[], None]:
    """Return what waits until nothing is under way."""
    return lambda: qtbot.waitUntil(lambda: not context.operations.busy)


@pytest.fixture
def show(qtbot: QtBot, settle: Callable[[], None]) -> Callable[[QWidget], None]:
    """Return what brings a page to the front of a window of 1280 by 800."""

    def bring(page: QWidget) -> None:
        qtbot.addWidget(page)
        page.resize(1280, 760)
        with qtbot.waitActive(page):
            page.show()
            page.activateWindow()
        shown: Callable[[], None] = page.shown  # type: ignore[attr-defined]  # pages have it
        shown()
        settle()

    return bring


def start(desk: Desk, title: str, target: str) -> Preparation:
    """Start a preparation of a sample formula."""
    (hit, *_) = desk.store.find_formulas(title)
    in_use = [each for each in desk.store.versions(hit.formula_id) if each.state is State.IN_USE]
    return start_preparation(desk, in_use[-1].id, Order(target))


def packed_jars(desk: Desk, title: str, target: str) -> Preparation:
    """Make a sample formula up to the filled containers; the other pharmacist checks the plan."""
    people = {each.name: each for each in desk.store.every(Person)}
    return packed(desk, start(desk, title, target), people["Tobias Quell"], "2718")


def version_of(desk: Desk, title: str) -> Version:
    """Return the newest version of a sample formula."""
    (hit, *_) = desk.store.find_formulas(title)
    return desk.store.versions(hit.formula_id)[-1]


def unnamed(page: QWidget) -> list[QWidget]:
    """Return what can have the focus by Tab and has no name for a screen reader."""
    widgets = [page, *page.findChildren(QWidget)]
    return [each for each in widgets if _is_reached(each) and not _name(each)]


def _is_reached(widget: QWidget) -> bool:
    by_tab = bool(widget.focusPolicy() & Qt.FocusPolicy.TabFocus)
    return by_tab and widget.focusProxy() is None and widget.isVisible()


def _name(widget: QWidget) -> str:
    seen = QAccessible.queryAccessibleInterface(widget)
    return seen.text(QAccessible.Text.Name)


def plain(written: str) -> str:
    """Return a text with the spaces that a keyboard has."""
    return written.replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", " ")


def nowhere(_pages: Sequence[Page], _stock: LabelStock) -> None:
    """Deliver labels nowhere."""
