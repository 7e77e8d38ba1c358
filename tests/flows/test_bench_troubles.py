"""Every kind of trouble at the bench, met by keys alone, and a balance on a real serial line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, Qt
from pytestqt.qtbot import QtBot

from formulary.bench.events import Category
from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.people import Person
from tests.flows.bench_house import container_like, mark_high_alert, plug_in
from tests.flows.bench_keys import OTHER, PHARMACIST, TECHNICIAN, BenchKeys, ask, prepare
from tests.flows.conftest import CTRL, SHIFT, Keyboard
from tests.flows.test_bench_by_keys import begin, label, start
from tests.helpers.fake_balance import FakeBalance, fake_balance
from tests.ui.at_desk import page_key, plain
from tests.ui.conftest import PATIENCE_MS, settled
from ui.context import PageName
from ui.files import SAVED
from ui.labels.page import LabelsPage
from ui.widgets.quantity_edit import QuantityEdit
from ui.window import Window

__all__ = ["fake_balance"]

WITNESSED = "Glycerol 85 %"


def seated(qtbot: QtBot, window: Window, prepared: Callable[[Desk], None] = prepare) -> BenchKeys:
    """Return the technician at the bench, in a house where the cream is in use."""
    made = BenchKeys(Keyboard(qtbot, window), window)
    ask(made, prepared)
    people = ask(made, lambda desk: {each.name: each for each in desk.store.every(Person)})
    window.context.seat(replace(window.context.desk, person=people[TECHNICIAN]))
    return made


@pytest.fixture
def keys(qtbot: QtBot, window: Window) -> BenchKeys:
    """Return the technician, in a house where glycerol asks for a witness."""
    made = BenchKeys(Keyboard(qtbot, window), window)
    ask(made, lambda desk: mark_high_alert(desk, WITNESSED))
    return seated(qtbot, window)


def choose_way(keys: BenchKeys, way: str, reason: str) -> None:
    """Choose a way out by its number, and have a pharmacist sign it."""
    ways = [each.text() for each in keys.page.view.actions()]
    keys.press(Qt.Key(Qt.Key.Key_1 + ways.index(way)))
    keys.enter(reason)
    keys.sign(PHARMACIST)


def move_to(keys: BenchKeys, workstation: str) -> None:
    """Sit down at another workstation and take the work over there."""
    context = keys.window.context
    context.seat(replace(context.desk, workstation=workstation))
    keys.press(Qt.Key.Key_M, CTRL | SHIFT)
    keys.press(Qt.Key.Key_Return)


def test_a_preparation_with_every_trouble_ends_in_its_rejection(
    keys: BenchKeys, tmp_path: Path
) -> None:
    QSettings().setValue(SAVED, str(tmp_path))
    start(keys)
    begin(keys)
    keys.brings("243.5")
    first, other = keys.container(0), wrong_containers(keys)
    two_lots_for_one_line(keys, first, other)
    interrupted_and_moved(keys)
    wasted_and_weighed_again(keys)
    witnessed_and_made_good(keys)
    joined_too_far_apart(keys)
    failed_test(keys)
    label(keys)
    reprint_one(keys)
    reject(keys)


def wrong_containers(keys: BenchKeys) -> str:
    """Scan another line's container, then one that ran out; return one of another lot."""
    first = keys.container(0)
    expired = ask(keys, lambda desk: container_like(desk, first, "OLD-1", -1))
    keys.brings(keys.container(1))
    wrong = keys.page.view.trouble.text()
    keys.brings(expired)
    ran_out = keys.page.view.trouble.text()
    assert wrong
    assert ran_out
    assert wrong != ran_out
    assert keys.work.state.staged == ()
    return ask(keys, lambda desk: container_like(desk, first, "NEW-2", 400))


def two_lots_for_one_line(keys: BenchKeys, first: str, other: str) -> None:
    """Take the rest from another lot, and add more to what is too little."""
    for scan, figure in ((first, "10.00"), (other, "17.00")):
        if scan == other:
            keys.press(Qt.Key.Key_N, CTRL)
        keys.brings(scan)
        keys.brings(figure)
        assert keys.heading == "Cetomacrogol emulsifying wax"
    keys.brings("18.00")
    line = keys.work.state.lines[0]
    assert "NEW-2" in {each.lot for each in line.portions}
    assert len(line.readings) == 3


def interrupted_and_moved(keys: BenchKeys) -> None:
    """Leave the work, and take it up at another workstation."""
    keys.press(Qt.Key.Key_I, CTRL)
    keys.press(Qt.Key.Key_Return)
    assert keys.heading == "Take the work up again"
    move_to(keys, "Bench by the window")
    keys.press(Qt.Key.Key_Return)
    assert keys.work.preparation.workstation == "Bench by the window"
    assert keys.heading == "White soft paraffin"


def wasted_and_weighed_again(keys: BenchKeys) -> None:
    """Weigh too much, empty the boat to waste, and weigh again."""
    keys.weigh(1, "40.00")
    assert keys.heading.endswith("too much")
    choose_way(keys, "Remove to waste and weigh again", "slipped")
    keys.brings("0")
    keys.brings("36.00")
    assert keys.work.state.lines[1].portions[0].wasted.number == 40
    keys.press(Qt.Key.Key_Return)


def witnessed_and_made_good(keys: BenchKeys) -> None:
    """Type a high-alert ingredient's figure beside a witness; it is too much, and made good."""
    assert keys.heading == "Vessel for B: Water phase"
    keys.brings("180.2")
    keys.weigh(2, "19.44")
    keys.sign(PHARMACIST)
    assert keys.work.state.lines[2].readings[0].witness_id
    assert keys.heading.endswith("too much")
    choose_way(keys, "Make good", "better a little more")
    assert keys.work.state.lines[0].raised > 1
    make_the_rest(keys)


def joined_too_far_apart(keys: BenchKeys) -> None:
    """Join phases too far apart as a signed exception."""
    assert keys.heading == "Join the phases"
    keys.enter("70")
    keys.enter("60")
    assert keys.page.view.trouble.text()
    keys.press(Qt.Key.Key_E, CTRL | SHIFT)
    keys.enter("the bath failed")
    keys.sign(PHARMACIST)
    keys.press(Qt.Key.Key_Return)


def failed_test(keys: BenchKeys) -> None:
    """Find something wrong at the look: that opens a deviation."""
    keys.brings("190")
    keys.press(Qt.Key.Key_N)
    for _ in range(4):
        keys.press(Qt.Key.Key_Return)
    assert Category.TEST in [each.category for each in keys.work.state.open_deviations]
    keys.enter("5.8")
    for net in ("59.4", "59.3", "59.5"):
        keys.brings(net)


def make_the_rest(keys: BenchKeys) -> None:
    """Weigh what making good asks for, line after line."""
    for _ in range(8):
        if keys.heading not in {each.ingredient for each in keys.work.state.lines}:
            break
        at = [each.ingredient for each in keys.work.state.lines].index(keys.heading)
        line = keys.work.state.lines[at]
        assert line.target is not None
        if not keys.work.state.lines[at].readings:
            keys.brings(keys.container(at))
        shown = plain(keys.page.view.figure.text()).removeprefix("to ").split()[0]
        keys.brings(shown)
        if keys.window.asking is not None and keys.window.asking.dialog is not None:
            keys.sign(OTHER)
    keys.press(Qt.Key.Key_Return)


def reprint_one(keys: BenchKeys) -> None:
    """Go back to where labels are printed, and print again for a reason."""
    keys.press(Qt.Key.Key_B, CTRL | SHIFT)
    keys.enter("a label is smudged")
    assert keys.stage() is Stage.PACKED
    keys.press(Qt.Key.Key_V, CTRL | SHIFT)
    keys.enter("smudged")
    assert keys.heading == "Print the labels"
    keys.press(Qt.Key.Key_Return)
    page = keys.window.pages["labels"]
    assert isinstance(page, LabelsPage)
    assert page.order.reason.isVisible()
    keys.press(page_key(PageName.BENCH), CTRL)


def reject(keys: BenchKeys) -> None:
    """Reject it, with the fate of the goods."""
    keys.press(Qt.Key.Key_R, CTRL | SHIFT)
    keys.enter("streaks, and joined too cold")
    keys.enter("destroyed")
    keys.sign(PHARMACIST)
    assert keys.stage() is Stage.REJECTED
    assert keys.work.state.fate == "destroyed"


def test_a_balance_on_a_serial_line_writes_what_it_shows_and_enter_takes_it(
    qtbot: QtBot,
    house_file: Path,
    fake_balance: FakeBalance,
    opened: Callable[[Path, str], Window],
) -> None:
    plug_in(fake_balance.port)
    window = opened(house_file, "en")
    with qtbot.waitActive(window):
        window.activateWindow()
    keys = seated(qtbot, window)
    start(keys)
    begin(keys)
    keys.brings("243.5")
    keys.brings(keys.container(0))
    entry = keys.page.view.entries.inputs["weight"]
    assert isinstance(entry, QuantityEdit)
    fake_balance.send(b"17.50 g ?\r\n18.01 g\r\n")
    qtbot.waitUntil(lambda: entry.text().startswith("18.01"), timeout=PATIENCE_MS)
    keys.press(Qt.Key.Key_Return)
    settled(qtbot, window)
    (reading,) = keys.work.state.lines[0].readings
    assert not reading.manual
    assert reading.raw.startswith("18.01 g")
    assert keys.heading == "White soft paraffin"
