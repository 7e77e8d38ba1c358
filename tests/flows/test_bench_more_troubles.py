"""A whole preparation by keys through a hold, a second look, and water that evaporated."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from formulary.bench.stages import Stage
from tests.flows.bench_house import mark_double_check
from tests.flows.bench_keys import PHARMACIST, BenchKeys, ask
from tests.flows.conftest import CTRL, SHIFT, Keyboard
from tests.flows.test_bench_by_keys import begin, start
from tests.flows.test_bench_troubles import seated
from tests.ui.at_desk import plain
from ui.widgets.quantity_edit import QuantityEdit
from ui.window import Window

LOOKED_AT = "Glycerol 85 %"


@pytest.fixture
def keys(qtbot: QtBot, window: Window) -> BenchKeys:
    """Return the technician, in a house where glycerol asks for a second look."""
    made = BenchKeys(Keyboard(qtbot, window), window)
    ask(made, lambda desk: mark_double_check(desk, LOOKED_AT))
    return seated(qtbot, window)


def test_held_looked_at_afresh_and_restored_with_water_it_is_packed(keys: BenchKeys) -> None:
    start(keys)
    begin(keys)
    keys.brings("243.5")
    keys.weigh(0, "18.00")
    held_and_lifted(keys)
    keys.weigh(1, "36.00")
    keys.press(Qt.Key.Key_Return)
    keys.brings("180.2")
    looked_at_afresh(keys)
    keys.weigh(3, "108.0")
    keys.press(Qt.Key.Key_Return)
    water_restored(keys)
    assert keys.heading == "Join the phases"
    keys.enter("68")
    keys.enter("67")
    keys.press(Qt.Key.Key_Return)
    keys.brings("178.4")
    for _ in range(5):
        keys.press(Qt.Key.Key_Return)
    keys.enter("5.8")
    keys.brings("2 x 59.5 g")
    keys.brings("59.3")
    assert keys.stage() is Stage.PACKED
    assert keys.work.state.deviations == ()


def held_and_lifted(keys: BenchKeys) -> None:
    """Hold the work; a pharmacist lifts it, and it goes on where it was."""
    keys.press(Qt.Key.Key_H, CTRL | SHIFT)
    keys.enter("asked the prescriber")
    assert keys.heading == "On hold"
    keys.enter("answered")
    keys.sign(PHARMACIST)
    assert keys.heading == "White soft paraffin"


def looked_at_afresh(keys: BenchKeys) -> None:
    """Weigh what asks for a second look; another person scans and reads it afresh."""
    keys.weigh(2, "18.00")
    assert keys.heading == f"{LOOKED_AT}: second look"
    keys.brings(keys.work.state.lines[2].readings[0].container)
    keys.brings("18.00")
    keys.sign(PHARMACIST)
    assert keys.work.state.lines[2].checked_by
    assert keys.heading == "Purified water"


def water_restored(keys: BenchKeys) -> None:
    """Weigh the vessel of the water phase, and put back what evaporated from it."""
    keys.press(Qt.Key.Key_W, CTRL)
    on_second_vessel(keys, "gross")
    keys.brings("301.2")
    assert "Vessel 2: add 5 g of water" in plain(keys.page.last_wrong.text())
    keys.press(Qt.Key.Key_W, CTRL | SHIFT)
    on_second_vessel(keys, "amount")
    keys.keyboard.type("5")
    go_to(keys, "container")
    keys.brings(keys.work.state.lines[3].readings[0].container)
    assert [str(each.number) for each in keys.work.state.vessels[1].water] == ["5"]


def on_second_vessel(keys: BenchKeys, asked: str) -> None:
    """Choose the second vessel, and go to what is asked of it."""
    inputs = keys.page.view.entries.inputs
    keys.keyboard.tab_to(inputs["vessel"].accessibleName(), back=True)
    keys.keyboard.choose("Vessel 2")
    go_to(keys, asked)


def go_to(keys: BenchKeys, asked: str) -> None:
    """Press Tab until the cursor stands where that is typed."""
    field = keys.page.view.entries.inputs[asked]
    assert isinstance(field, QuantityEdit)
    keys.keyboard.tab_to(field.line.accessibleName())
