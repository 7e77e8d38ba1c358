"""What belongs to this workstation is entered by keys, and every page goes by it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from formulary.desk import Desk
from formulary.exchange.workstation_file import kept_workstation
from formulary.people import Person, Post
from formulary.workstation import BalanceHere
from tests.ui.at_desk import plain, unnamed
from ui.context import Context
from ui.forms.inputs import LineInput
from ui.messages import Tone
from ui.settings.page import SettingsPage

Show = Callable[[QWidget], None]
Settle = Callable[[], None]
SHIFT = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def page(context: Context, show: Show) -> SettingsPage:
    made = SettingsPage(context)
    show(made)
    return made


def press(key: Qt.Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
    focused = QApplication.focusWidget()
    assert focused is not None
    QTest.keyClick(focused, key, modifier)


def typed(text: str) -> None:
    focused = QApplication.focusWidget()
    assert focused is not None
    QTest.keyClicks(focused, text)


def into_the_section(page: SettingsPage) -> None:
    """Go from the index, which has the focus, to the first section and into it."""
    assert page.sections.hasFocus()
    press(Qt.Key.Key_Home)
    press(Qt.Key.Key_Return)


def test_the_profile_is_entered_and_kept_by_keys(
    page: SettingsPage, context: Context, desk: Desk, settle: Settle
) -> None:
    into_the_section(page)
    typed("Bench by the window")
    press(Qt.Key.Key_Tab)
    typed(desk.house.printers[0].name[:2])
    press(Qt.Key.Key_Tab)
    typed("7")
    page.workstation.balances.enter()
    press(Qt.Key.Key_Insert)
    typed(desk.house.balances[0].name[:2])
    press(Qt.Key.Key_Tab)
    typed("/dev/ttyUSB0")
    press(Qt.Key.Key_S, SHIFT)
    settle()
    settle()
    here = kept_workstation()
    assert here is not None
    assert here.bench == "Bench by the window"
    assert here.printer == desk.house.printers[0].name
    assert here.stock
    assert [each.port for each in here.balances] == ["/dev/ttyUSB0"]
    assert here.balances[0].name in {each.name for each in desk.house.balances}
    assert (context.desk.workstation, context.here) == ("Bench by the window", here)
    assert [each.name for each in context.house_here.balances] == [here.balances[0].name]
    assert desk.house.revision == context.house.revision


def test_a_line_that_can_t_be_is_marked_and_nothing_is_kept(
    page: SettingsPage, settle: Settle
) -> None:
    page.take("workstation")
    book = page.workstation.balances
    book.add.trigger()
    press(Qt.Key.Key_End)
    for field in ("COM3", "fast"):
        press(Qt.Key.Key_Tab)
        typed(field)
    page.workstation.keep.trigger()
    settle()
    line = book.form.inputs["speed"]
    assert isinstance(line, LineInput)
    assert "no speed of a serial line" in plain(line.edit.note.text())
    assert kept_workstation() is None


def test_who_only_reads_changes_no_workstation(
    page: SettingsPage, context: Context, settle: Settle
) -> None:
    reader = Person("p-reader", "Ruth Elm", Post.READER)
    context.seat(replace(context.desk, person=reader))
    page.take("workstation")
    page.workstation.keep.trigger()
    settle()
    assert context.say.history[-1].tone is Tone.REFUSAL
    assert kept_workstation() is None


def test_the_profile_is_shown_as_it_stands(page: SettingsPage, context: Context) -> None:
    wired = (BalanceHere("Bench balance, by the sink", "COM3", "2400 7E1"),)
    context.seat(context.desk.seated_at(replace(context.here, bench="Sink", balances=wired)))
    page.shown()
    assert page.workstation.form.values()["bench"] == "Sink"
    assert page.workstation.balances.rows()[0]["speed"] == "2400 7E1"
    assert unnamed(page) == []


def test_the_index_says_the_group_of_each_section_and_passes_over_headings(
    page: SettingsPage,
) -> None:
    index = page.sections
    press(Qt.Key.Key_Home)
    seen = []
    for _ in range(len(index.names)):
        seen.append(index.current())
        press(Qt.Key.Key_Down)
    assert tuple(seen) == index.names
    item = index.currentItem()
    assert item is not None
    said = str(item.data(Qt.ItemDataRole.AccessibleTextRole))
    assert said == "Label layouts (Labels)"
    typed("bal")
    assert index.current() == "balances"
    assert page.stack.currentIndex() == index.names.index("balances")
