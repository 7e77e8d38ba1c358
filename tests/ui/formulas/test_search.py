"""Finding a formula and reading how it is kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from threading import Event

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from formulary.formula.content import Period, ShelfLife, Span
from formulary.formula.version import State
from tests.ui.at_desk import plain
from tests.ui.formulas.conftest import Find, press
from ui.context import Topic
from ui.formulas.index_model import Role
from ui.formulas.page import FormulasPage
from ui.window import Window


def rows(page: FormulasPage) -> list[str]:
    titles = (str(page.model.index(row, 0).data()) for row in range(page.model.rowCount()))
    return [title.replace("\N{NO-BREAK SPACE}", " ") for title in titles]


def test_one_search_and_no_click_shows_how_it_is_kept(page: FormulasPage, find: Find) -> None:
    find("urea")
    keeping = page.model.index(0, 0).data(Role.KEEPING)
    assert keeping == "15 to 25 °C; lasts 35 days, 35 days once opened"
    assert "15 to 25 °C. Lasts 35 days" in page.leaf.toPlainText()


def test_each_word_narrows_the_list(page: FormulasPage, find: Find) -> None:
    find("cream")
    several = len(rows(page))
    find("cream zinc")
    assert 0 < len(rows(page)) < several


def test_the_latin_name_finds_it(page: FormulasPage, find: Find) -> None:
    find("cremor urei")
    assert rows(page) == ["Urea cream 10 %"]


def test_the_arrow_keys_read_on_while_one_searches(
    page: FormulasPage, find: Find, settle: Callable[[], None]
) -> None:
    find("cream")
    first = page.leaf.toPlainText().split("\n")[0]
    press(Qt.Key.Key_Down)
    settle()
    assert page.search.hasFocus()
    assert page.leaf.toPlainText().split("\n")[0] == rows(page)[1] != first


def test_nothing_found_says_what_can_be_searched(page: FormulasPage, find: Find) -> None:
    find("zzz")
    assert rows(page) == []
    assert page.leaf.toPlainText().startswith("No formula has these words.")
    assert not page.panel.start.isEnabled()


def test_the_search_is_reached_from_any_page(
    window: Window, page: FormulasPage, settle: Callable[[], None]
) -> None:
    window.show_page("register")
    settle()
    QTest.keyClick(window, Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    settle()
    assert page.isVisible()
    assert page.search.hasFocus()


def test_the_leaf_aligns_figures_and_sums_them(page: FormulasPage, find: Find) -> None:
    find("urea")
    text = page.leaf.toPlainText()
    composition = text[text.index("Composition") : text.index("Method")].split("\n")
    assert "0" in composition  # the whole part of 0.2 %, in a column of its own
    assert ".2" in composition
    assert composition[composition.index("Total") + 1] == "100"


def test_in_a_narrow_window_the_index_folds_away_behind_the_search(
    window: Window, page: FormulasPage, find: Find, settle: Callable[[], None]
) -> None:
    window.resize(1000, 700)
    find("urea")
    assert page.index.isVisible()
    page.to_scaling.trigger()
    settle()
    assert not page.index.isVisible()
    assert page.panel.isVisible()


def test_a_late_answer_starts_nothing_of_an_earlier_row(
    window: Window, qtbot: QtBot, page: FormulasPage, find: Find, settle: Callable[[], None]
) -> None:
    find("calamine")
    gate = Event()
    window.context.do(lambda _: gate.wait(20))
    page.search.selectAll()
    QTest.keyClicks(page.search, "zinc paste")
    qtbot.waitUntil(lambda: not page._pause.isActive())
    press(Qt.Key.Key_Return)
    assert page.panel.target.line.hasFocus()
    QTest.keyClicks(page.panel.target.line, "100 g")
    assert not page.panel.start.isEnabled()
    gate.set()
    settle()
    assert page.leaf.toPlainText().startswith("Zinc")
    assert page.panel.target.text() == "100 g"
    assert page.panel.start.isEnabled()


def test_the_list_says_no_longer_period_than_the_rule_allows(
    page: FormulasPage, window: Window, find: Find, settle: Callable[[], None]
) -> None:
    find("CR-003")
    first = page.model.index(0, 0)
    assert "lasts 35 days" in plain(str(page.model.data(first, Role.KEEPING)))
    assert page._shown is not None
    version = page._shown.version
    assert version is not None
    content = replace(version.content, shelf_life=ShelfLife(Period(90, Span.DAYS)))
    with window.context.desk.writing("send_to_review") as writing:
        writing.put(replace(version, id="v3", number=3, content=content, revision=0))
        writing.put(replace(version, state=State.WITHDRAWN))
    window.context.tell_changed(Topic.FORMULAS)
    settle()
    settle()
    said = plain(str(page.model.data(page.model.index(0, 0), Role.KEEPING)))
    assert "made today it lasts to" in said
    assert "not 90 days" in said
    assert "not 90 days" in plain(page.leaf.toPlainText())
