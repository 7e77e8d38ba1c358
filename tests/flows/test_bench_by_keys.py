"""A whole preparation by keys alone, from the start to the jars handed over."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, Qt
from pytestqt.qtbot import QtBot

from formulary.bench.stages import Stage
from formulary.people import Person
from tests.flows.bench_keys import PHARMACIST, TECHNICIAN, TITLE, BenchKeys, ask, prepare
from tests.flows.conftest import CTRL, SHIFT, Keyboard
from tests.flows.test_technician_flow import accept
from tests.ui.at_desk import page_key
from tests.ui.conftest import PATIENCE_MS, settled
from ui.context import PageName
from ui.files import SAVED
from ui.labels.page import LabelsPage
from ui.window import Window

AIM = 60
"""Keys beyond weights and scans for four lines and two phases."""


@pytest.fixture
def keys(keyboard: Keyboard, window: Window) -> BenchKeys:
    """Return the technician at the bench, in a house where the cream is in use."""
    made = BenchKeys(keyboard, window)
    ask(made, prepare)
    people = ask(made, lambda desk: {each.name: each for each in desk.store.every(Person)})
    context = window.context
    context.seat(replace(context.desk, person=people[TECHNICIAN]))
    return made


def start(keys: BenchKeys) -> None:
    """Find the cream by a scan of its card, and start three jars of it."""
    keys.press(Qt.Key.Key_K, CTRL)
    keys.keyboard.type(TITLE, counted=False)
    keys.press(Qt.Key.Key_Return)
    keys.keyboard.type("3 x 60 g")
    keys.press(Qt.Key.Key_Return, CTRL)
    keys.keyboard.qtbot.waitUntil(lambda: "bench" in keys.window.pages, timeout=PATIENCE_MS)
    settled(keys.keyboard.qtbot, keys.window)
    assert keys.heading == "Check the plan"


def begin(keys: BenchKeys) -> None:
    """Have the plan checked and clear the bench."""
    keys.press(Qt.Key.Key_Return)
    keys.sign(PHARMACIST)
    for _ in range(3):
        assert keys.heading == "Clear the bench"
        keys.press(Qt.Key.Key_Return)
    assert keys.stage() is Stage.BENCH_CLEARED


def make(keys: BenchKeys) -> None:
    """Weigh both phases, heat and join them, and stir."""
    keys.brings("243.5")
    keys.weigh(0, "18.00")
    keys.weigh(1, "36.00")
    assert keys.heading.startswith("Step 1")
    keys.press(Qt.Key.Key_Return)
    keys.brings("180.2")
    keys.weigh(2, "18.00")
    keys.weigh(3, "108.0")
    keys.press(Qt.Key.Key_Return)
    assert keys.heading == "Join the phases"
    keys.enter("68")
    keys.enter("67")
    assert keys.heading.startswith("Step 3")
    keys.press(Qt.Key.Key_Return)


def finish(keys: BenchKeys) -> None:
    """Take the yield, test, and fill."""
    assert keys.heading == "Yield"
    keys.brings("178.4")
    for _ in range(5):
        assert keys.heading.startswith("Appearance: ")
        keys.press(Qt.Key.Key_Return)
    keys.enter("5.8")
    for net in ("59.4", "59.3", "59.5"):
        keys.brings(net)
    assert keys.stage() is Stage.PACKED


def label(keys: BenchKeys) -> None:
    """Save the labels, come back, and count them."""
    assert keys.heading == "Print the labels"
    keys.press(Qt.Key.Key_Return)
    labels = keys.window.pages["labels"]
    assert isinstance(labels, LabelsPage)
    keys.keyboard.qtbot.waitUntil(labels.save_pdf.isEnabled, timeout=PATIENCE_MS)
    keys.press(Qt.Key.Key_E, CTRL)
    accept(keys.keyboard.qtbot, keys.keyboard, labels)
    settled(keys.keyboard.qtbot, keys.window)
    keys.keyboard.qtbot.waitUntil(keys.window.isActiveWindow, timeout=PATIENCE_MS)
    keys.press(page_key(PageName.BENCH), CTRL)
    assert keys.heading == "Count the labels"
    keys.enter("3")
    keys.enter("0")


def test_a_cream_is_made_released_and_handed_over_by_keys_alone(
    qtbot: QtBot, keys: BenchKeys, tmp_path: Path
) -> None:
    QSettings().setValue(SAVED, str(tmp_path))
    start(keys)
    begin(keys)
    make(keys)
    finish(keys)
    label(keys)
    assert keys.heading == "Send for release"
    keys.press(Qt.Key.Key_Return)
    keys.press(Qt.Key.Key_Return)
    keys.sign(PHARMACIST)
    assert keys.stage() is Stage.RELEASED
    keys.keyboard.type("Ward 3")
    keys.press(Qt.Key.Key_Return, CTRL)
    qtbot.waitUntil(lambda: keys.stage() is Stage.HANDED_OVER, timeout=PATIENCE_MS)
    assert [each.recipient_id for each in keys.work.state.jars] == ["Ward 3"] * 3
    assert keys.work.state.deviations == ()
    assert {line.vessel for line in keys.work.state.lines} == {"Vessel 1", "Vessel 2"}
    assert keys.window.context.desk.person.name == TECHNICIAN
    print("keys beyond weights and scans:", keys.keyboard.count)  # noqa: T201  the count is the point
    assert keys.keyboard.count <= AIM


def assert_told_who_allowed_it(keys: BenchKeys, reason: str) -> None:
    """Look that the work stays with who did it, and the exception with who signed it."""
    last = keys.work.events[-1]
    assert last.signature is not None
    assert (last.person, last.signature.person) == (TECHNICIAN, PHARMACIST)
    told = keys.page.record.log.toPlainText().split("\n\n")[0]
    assert f"Against the method, signed by {PHARMACIST}: {reason}" in told


def test_trouble_of_every_kind_ends_in_a_rejection(keys: BenchKeys) -> None:
    start(keys)
    begin(keys)
    keys.brings("243.5")
    keys.brings(keys.container(1))
    assert keys.page.view.trouble.text()
    keys.weigh(0, "19.44")
    assert keys.heading.endswith("too much")
    ways = [each.text() for each in keys.page.view.actions()]
    keys.press(Qt.Key(Qt.Key.Key_1 + ways.index("Make good")))
    keys.enter("slipped")
    keys.sign(PHARMACIST)
    assert keys.work.state.lines[1].raised == keys.work.state.lines[0].raised > 1
    keys.weigh(1, "38.88")
    keys.press(Qt.Key.Key_Return)
    keys.brings("180.2")
    keys.weigh(2, "19.44")
    keys.weigh(3, "116.6")
    keys.press(Qt.Key.Key_Return)
    keys.enter("80")
    keys.enter("60")
    assert "right is" in keys.page.view.trouble.text()
    keys.press(Qt.Key.Key_E, CTRL | SHIFT)
    keys.enter("the bath failed")
    keys.sign(PHARMACIST)
    assert keys.work.state.is_joined(2)
    assert_told_who_allowed_it(keys, "the bath failed.")
    keys.press(Qt.Key.Key_Return)
    keys.brings("150")
    assert any(each.is_open for each in keys.work.state.deviations)
    keys.press(Qt.Key.Key_PageDown)
    keys.press(Qt.Key.Key_PageDown)
    assert keys.heading == "Container 1 of 3"
    keys.brings("2 x 60 g")
    keys.press(Qt.Key.Key_Return, CTRL)
    assert keys.stage() is Stage.PACKED
    keys.press(Qt.Key.Key_B, CTRL | SHIFT)
    keys.enter("one jar leaked")
    assert keys.stage() is Stage.IN_WORK
    assert keys.work.state.jars == ()
    keys.press(Qt.Key.Key_R, CTRL | SHIFT)
    keys.enter("too little of it, and too hot")
    keys.enter("destroyed")
    keys.sign(PHARMACIST)
    assert keys.stage() is Stage.REJECTED
    assert keys.heading == "This preparation is rejected"
