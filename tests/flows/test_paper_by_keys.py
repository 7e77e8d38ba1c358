"""A day without the program: a blank set aside and printed, then entered from paper, by keys."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from formulary.bench.stages import Stage
from formulary.clock import local
from formulary.people import Person
from formulary.verbs.work_at_bench import happened
from tests.flows.bench_keys import PHARMACIST, TECHNICIAN, TITLE, BenchKeys, ask, prepare
from tests.flows.conftest import CTRL, SHIFT, Keyboard
from tests.ui.at_desk import page_key
from tests.ui.papers.printing import FakePrinter, fake_printer
from ui.context import PageName
from ui.window import Window


@pytest.fixture
def keys(keyboard: Keyboard, window: Window) -> BenchKeys:
    """Return the technician at the window, in a house where the cream is in use."""
    made = BenchKeys(keyboard, window)
    ask(made, prepare)
    people = ask(made, lambda desk: {each.name: each for each in desk.store.every(Person)})
    window.context.seat(replace(window.context.desk, person=people[TECHNICIAN]))
    return made


@pytest.fixture
def printer(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> FakePrinter:
    return fake_printer(monkeypatch, tmp_path)


def set_aside(keys: BenchKeys) -> str:
    """Set one blank aside for three jars, and return its lot."""
    keys.press(Qt.Key.Key_K, CTRL)
    keys.keyboard.type(TITLE)
    keys.press(Qt.Key.Key_Return)
    keys.keyboard.type("3 x 60 g")
    keys.press(Qt.Key.Key_B, CTRL | SHIFT)
    keys.keyboard.type("Power cuts announced")
    keys.press(Qt.Key.Key_Tab, SHIFT)
    keys.keyboard.type("1")
    keys.press(Qt.Key.Key_Return)
    (blank,) = ask(keys, lambda desk: desk.store.register())
    return blank.lot


def minute(keys: BenchKeys) -> str:
    """Return the time as a paper says it."""
    context = keys.window.context
    return f"{local(context.desk.clock.now(), context.house.zone):%H:%M}"


def on_paper(keys: BenchKeys, *figures: str) -> None:
    """Enter what stands there, then the time."""
    for each in figures:
        keys.enter(each)
    keys.enter(minute(keys))


def by(keys: BenchKeys, name: str) -> None:
    """Choose who did it, by the paper, and go back to the time."""
    keys.keyboard.tab_to("Who, by the paper")
    keys.keyboard.choose(name)
    keys.press(Qt.Key.Key_Tab, SHIFT)


def weighed(keys: BenchKeys, line: int, figure: str) -> None:
    """Enter a container with the time, then the figure; the time of the same thing stays."""
    on_paper(keys, keys.container(line))
    keys.enter(figure)


def test_a_blank_is_printed_written_on_and_entered_up_to_the_filled_jars(
    keys: BenchKeys, printer: FakePrinter
) -> None:
    lot = set_aside(keys)
    assert lot in printer.text
    keys.press(page_key(PageName.BENCH), CTRL)
    keys.enter(lot)
    assert keys.heading == "Enter the blank on paper"
    keys.enter(ask(keys, lambda desk: desk.today).isoformat())
    assert keys.heading == "Check the plan"
    by(keys, PHARMACIST)
    on_paper(keys)
    keys.sign(PHARMACIST)
    by(keys, TECHNICIAN)
    on_paper(keys)
    for _ in range(2):
        assert keys.heading == "Clear the bench"
        keys.press(Qt.Key.Key_Return)
    assert keys.stage() is Stage.BENCH_CLEARED
    on_paper(keys, "243.5")
    weighed(keys, 0, "18.00")
    weighed(keys, 1, "36.00")
    on_paper(keys)
    on_paper(keys, "180.2")
    weighed(keys, 2, "18.00")
    weighed(keys, 3, "108.0")
    on_paper(keys)
    assert keys.heading == "Join the phases"
    on_paper(keys, "68", "67")
    assert keys.heading.startswith("Step 3")
    on_paper(keys)
    assert keys.heading == "Yield"
    on_paper(keys, "178.4")
    on_paper(keys)
    for _ in range(4):
        assert keys.heading.startswith("Appearance: ")
        keys.press(Qt.Key.Key_Return)
    on_paper(keys, "5.8")
    on_paper(keys, "59.4")
    for net in ("59.3", "59.5"):
        keys.enter(net)
    assert keys.stage() is Stage.PACKED
    state = keys.work.state
    assert state.transcribed == (lot,)
    assert len(state.timers) == 0
    entered = [each for each in happened(keys.work.events) if each.original is not None]
    assert {each.doer for each in entered} == {PHARMACIST, TECHNICIAN}
    assert keys.heading == "Print the labels"
