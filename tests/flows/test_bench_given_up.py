"""A whole preparation by keys from an unchecked balance to its end in the waste."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from formulary.bench.stages import Stage
from tests.flows.bench_keys import BenchKeys, put_cream_in_use
from tests.flows.test_bench_by_keys import begin, start
from tests.flows.test_bench_troubles import choose_way, seated
from ui.window import Window


@pytest.fixture
def keys(qtbot: QtBot, window: Window) -> BenchKeys:
    """Return the technician at the bench on a morning on which nobody checked a balance yet."""
    return seated(qtbot, window, put_cream_in_use)


def test_from_an_unchecked_balance_past_an_accepted_figure_it_is_given_up(keys: BenchKeys) -> None:
    start(keys)
    begin(keys)
    sink_checked(keys)
    keys.brings("243.5")
    middle_bench_checked(keys)
    keys.weigh(0, "18.00")
    accepted(keys)
    keys.press(Qt.Key.Key_Return)
    keys.brings("180.2")
    keys.weigh(2, "18.00")
    keys.weigh(3, "130.0")
    assert keys.heading == "Purified water: too much"
    choose_way(keys, "Discard", "far too much water")
    assert keys.stage() is Stage.REJECTED


def sink_checked(keys: BenchKeys) -> None:
    """Find the balance that takes the tare unchecked; nothing else is asked before that is done."""
    assert keys.heading == "Bench balance, by the sink: check it first"
    keys.brings("2 kg")
    assert keys.heading == "Vessel for A: Fat phase"


def middle_bench_checked(keys: BenchKeys) -> None:
    """Put both test weights on the balance that weighs the lines."""
    assert keys.heading == "Precision balance, middle bench: check it first"
    keys.brings("200")
    keys.brings("20")
    assert keys.heading == "Cetomacrogol emulsifying wax"


def accepted(keys: BenchKeys) -> None:
    """Weigh 5 % too much of what no strength hangs on; a pharmacist accepts it with a reason."""
    keys.weigh(1, "37.80")
    assert keys.heading == "White soft paraffin: too much"
    choose_way(keys, "Accept", "the strengths stay inside the limits")
    line = keys.work.state.lines[1]
    assert len(line.readings) == 1
    assert line.accepted_because == "the strengths stay inside the limits"
    assert keys.heading.startswith("Step 1 of 3")
