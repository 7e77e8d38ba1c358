"""Too much at the bench: what the vessel holds, what it costs, and what becomes of the surplus."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from formulary.desk import Desk
from formulary.quantity.amount import Amount
from formulary.quantity.money import Money
from formulary.stock.cost import UnitCost
from tests.helpers.at_bench import a_step
from tests.helpers.formulas import amount
from tests.helpers.stocked_bench import OIL, UREA, WAX, Job, a_job, four_lines
from tests.ui.at_desk import plain
from tests.ui.bench.conftest import CTRL, AtPage

Bring = Callable[[Job], AtPage]
MIXED = four_lines(steps=(a_step("Mix until smooth."),))
PRICE = UnitCost(Money(Fraction(5), "GBP"), amount("100 g"))


def overweighed(beside: Bring, desk: Desk, holds: str) -> AtPage:
    """Tare a vessel that holds so much, and weigh 6.48 g of oil for 6 g."""
    job = a_job(desk, MIXED, cost=PRICE).started("3 x 60 g", "20 g").cleared()
    at = beside(job)
    assert at.heading.startswith("Main vessel")
    tare(at, holds)
    job.weighs(UREA, "120 g")
    job.weighs(WAX, "24 g")
    at.page.course.open(job.lot)
    at.settle()
    at.enter(job.containers[OIL].number)
    at.enter("6.48")
    assert at.heading == "Oil: too much"
    return at


def tare(at: AtPage, holds: str) -> None:
    """Weigh the vessel empty, and say what it holds, where anything is said."""
    if not holds:
        at.enter("250")
        return
    QTest.keyClicks(at.focused(), "250")
    at.press(Qt.Key.Key_J, CTRL)
    assert at.page.view.entries.values()["tare"] == "250"
    at.enter(holds)


def ways(at: AtPage) -> list[str]:
    """Return the ways out that are offered."""
    return [each.text() for each in at.page.view.actions()]


def sentences(at: AtPage) -> list[str]:
    """Return the sentences beside the thing to do."""
    return [plain(said) for _, said in at.page.view.shown.sentences]


def choose(at: AtPage, way: str) -> None:
    at.press(Qt.Key(Qt.Key.Key_1 + ways(at).index(way)))


@pytest.mark.parametrize("holds", ["210 g", "0.21 kg"])
def test_a_vessel_that_is_too_small_says_why_nothing_is_made_good(
    beside: Bring, desk: Desk, holds: str
) -> None:
    at = overweighed(beside, desk, holds)
    assert at.job.work.state.vessels[0].holds is not None
    assert "Make good" not in ways(at)
    assert any("the batch made good comes to 216 g" in each for each in sentences(at))


def test_what_it_costs_and_where_it_goes_is_seen_before_it_is_signed(
    beside: Bring, desk: Desk
) -> None:
    at = overweighed(beside, desk, "")
    choose(at, "Make good")
    assert "What goes in more costs 0.80 GBP" in plain("\n".join(at.page.view.shown.notes))
    assert any("Look before you decide" in each for each in sentences(at))


def test_what_is_no_size_is_said_at_its_entry(beside: Bring, desk: Desk) -> None:
    job = a_job(desk, MIXED).started()
    at = beside(job.cleared())
    tare(at, "400")
    assert job.work.state.vessels == ()


def test_the_surplus_becomes_an_extra_jar_where_that_was_chosen(beside: Bring, desk: Desk) -> None:
    at = overweighed(beside, desk, "500 g")
    choose(at, "Make good")
    assert sentences(at) == []
    at.page.view.entries.fill({"surplus": "extra jar"})
    at.enter("the spoon slipped")
    at.sign()
    at.job.packed("60 g", "60 g", "60 g", "36 g")
    state = at.job.work.state
    assert state.jars[-1].net == Amount(Fraction(36), "g")
    assert state.open_deviations == ()
