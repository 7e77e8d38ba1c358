"""A mixture at the bench: its container first, then as much of it as its lot asks for."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from PySide6.QtCore import Qt

from formulary.desk import Desk
from formulary.stock.lot import Analysis
from tests.helpers.formulas import a_formula, a_line, active
from tests.helpers.stocked_bench import Job, a_job, kept_well
from tests.ui.at_desk import plain
from tests.ui.bench.conftest import CTRL, AtPage

Bring = Callable[[Job], AtPage]
DRUG, BASE = range(2)


@pytest.fixture
def trituration(desk: Desk) -> Job:
    """Clear the bench for 100 g with 0.1 g of a drug; 1 g is the least weighed."""
    lines = (active("Urea", "0.1 % w/w"), a_line("Wax", "to 100 g"))
    return a_job(desk, kept_well(a_formula(*lines))).started("100 g").cleared()


def figure(at: AtPage) -> str:
    return plain(at.page.view.figure.text())


def test_the_lot_that_is_scanned_says_how_much_goes_in(beside: Bring, trituration: Job) -> None:
    weak = trituration.another(DRUG, "WEAK", analysis=Analysis(assay=Fraction(80)))
    at = beside(trituration)
    assert at.heading == "Make the mixture for Urea"
    assert figure(at) == "1 g with 9 g"
    at.enter(weak)
    assert figure(at) == "1.25 g with 8.75 g"
    assert "By this lot: 1 g x 1.25 / 1 = 1.25 g" in plain(at.page.view._notes.text())
    at.enter("1.25")
    at.enter(trituration.containers[BASE].number)
    at.enter("8.75")
    state = trituration.work.state
    assert state.open_deviations == ()
    mixture = state.lines[DRUG].mixture
    assert mixture is not None
    assert (mixture.container, mixture.lot) == (weak, "WEAK")
    assert at.heading == "Urea"


def test_another_container_is_taken_before_anything_is_weighed(
    beside: Bring, trituration: Job
) -> None:
    weak = trituration.another(DRUG, "WEAK", analysis=Analysis(assay=Fraction(80)))
    at = beside(trituration)
    at.enter(trituration.containers[DRUG].number)
    assert figure(at) == "1 g with 9 g"
    at.press(Qt.Key.Key_N, CTRL)
    at.enter(weak)
    assert figure(at) == "1.25 g with 8.75 g"


def test_of_another_ingredient_nothing_goes_in(beside: Bring, trituration: Job) -> None:
    at = beside(trituration)
    at.enter(trituration.containers[BASE].number)
    assert "Wax" in at.trouble
    assert trituration.work.state.staged == ()
