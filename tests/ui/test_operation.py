"""Work off the window's thread whose receiver is dropped before it ends."""

from __future__ import annotations

import gc
import threading
import weakref
from collections.abc import Callable, Iterator
from functools import partial

import pytest
from PySide6.QtCore import QObject
from PySide6.QtWidgets import QLabel, QWidget
from pytestqt.exceptions import capture_exceptions
from pytestqt.qtbot import QtBot
from shiboken6 import delete

from formulary.errors import Refusal
from formulary.messages import message
from ui.garbage import collect_what_is_due
from ui.messages import Messages
from ui.operation import Operations
from ui.receivers import is_gone

Result = Callable[[object], None]
Way = Callable[["Page"], Result]


class Page(QWidget):
    """A page that shows what came."""

    def __init__(self) -> None:
        super().__init__()
        self.words = QLabel(self)

    def show_result(self, result: object) -> None:
        self.words.setText(str(result))


def by_lambda(page: Page) -> Result:
    return lambda result: page.show_result(f"{result}")


def by_method(page: Page) -> Result:
    return page.show_result


def by_partial(page: Page) -> Result:
    return partial(Page.show_result, page)


WAYS = pytest.mark.parametrize("way", [by_lambda, by_method, by_partial])


@pytest.fixture
def say(qapp: QObject) -> Messages:
    return Messages(qapp)


@pytest.fixture
def operations(say: Messages) -> Iterator[Operations]:
    made = Operations(say)
    yield made
    made.finish()


@WAYS
def test_a_page_that_is_there_is_told(qtbot: QtBot, operations: Operations, way: Way) -> None:
    page = Page()
    qtbot.addWidget(page)
    operations.start(lambda: "done", way(page))
    qtbot.waitUntil(lambda: page.words.text() == "done")


@WAYS
def test_a_page_that_is_gone_is_told_nothing(
    qtbot: QtBot, operations: Operations, way: Way
) -> None:
    page, go_on = Page(), threading.Event()
    with capture_exceptions() as raised:
        operations.start(go_on.wait, way(page))
        delete(page)
        go_on.set()
        qtbot.waitUntil(lambda: not operations.busy)
    assert raised == []
    assert is_gone(way(page))


def test_a_refusal_is_said_even_where_the_page_is_gone(
    qtbot: QtBot, operations: Operations, say: Messages
) -> None:
    page, go_on = Page(), threading.Event()

    def refuse() -> None:
        go_on.wait()
        raise Refusal(message("ui.working"))

    operations.start(refuse, failed=page.show_result)
    delete(page)
    go_on.set()
    qtbot.waitUntil(lambda: not operations.busy)
    assert [each.message.key for each in say.history] == ["ui.working"]


def test_a_dropped_page_ends_on_the_windows_thread(qtbot: QtBot, operations: Operations) -> None:
    """Also while the worker still has its last operation at hand."""
    ended: list[threading.Thread] = []

    def begin() -> None:
        page = Page()
        weakref.finalize(page, lambda: ended.append(threading.current_thread()))
        operations.start(lambda: None, by_method(page))

    begin()
    qtbot.waitUntil(lambda: not operations.busy)
    operations.start(lambda: None)
    qtbot.waitUntil(lambda: bool(ended) and not operations.busy)
    assert ended == [threading.main_thread()]


def test_a_page_in_a_cycle_is_collected_on_the_windows_thread(
    qtbot: QtBot, operations: Operations
) -> None:
    ended: list[threading.Thread] = []

    class Ring:
        def __init__(self) -> None:
            self.itself = self
            self.page = Page()
            weakref.finalize(self.page, lambda: ended.append(threading.current_thread()))

    def allocate() -> None:
        rings = [[each] for each in range(50_000)]
        for each in rings:
            each.append(each)  # type: ignore[arg-type]  # a cycle, to make a collection due

    assert not gc.isenabled()
    Ring()
    operations.start(allocate)
    qtbot.waitUntil(lambda: not operations.busy)
    assert ended == []
    collect_what_is_due()
    gc.collect()
    assert ended == [threading.main_thread()]
