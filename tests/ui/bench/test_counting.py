"""Drops are counted at the bench in groups, as they go in, and pieces without a balance."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt

from formulary.desk import Desk
from formulary.formula.content import Form, Route
from formulary.stock.lot import Source
from formulary.verbs.look_up_stock import holding_of
from tests.helpers.formulas import a_formula, a_line, active, amount
from tests.helpers.stocked_bench import Job, a_job, keep_ingredient, kept_well
from tests.ui.at_desk import plain
from tests.ui.bench.conftest import CTRL, AtPage

Bring = Callable[[Job], AtPage]


@pytest.fixture
def at(beside: Bring, desk: Desk) -> AtPage:
    """Return the bench where four drops of an oil, 25 mg each, are to go in."""
    keep_ingredient(desk, "Oil", drop=amount("25 mg"))
    lines = a_line("Oil", "4 drops"), active("Salt", "10 g"), a_line("Water", "to 100 g")
    job = a_job(desk, kept_well(a_formula(*lines))).started("100 g").cleared()
    made = beside(job)
    if made.heading.startswith("Main vessel"):
        made.press(Qt.Key.Key_D, CTRL)
    return made


def test_each_group_is_typed_until_all_are_in(at: AtPage) -> None:
    assert at.heading == "Oil"
    at.enter(at.job.containers[0].number)
    at.enter("3")
    assert at.heading == "Oil"
    assert "1 drop" in plain(at.page.view.figure.text())
    (told,) = (plain(said) for _, said in at.page.view.shown.sentences)
    assert told.startswith("3 of 4")
    assert "75 mg" in told
    at.enter("1")
    assert at.heading == "Salt"
    assert at.job.work.state.drops[0].groups == (3, 1)


def test_too_many_drops_stop_the_work(at: AtPage) -> None:
    at.enter(at.job.containers[0].number)
    at.enter("6")
    assert at.heading == "Oil: too much"
    assert at.job.work.state.to_decide == (0,)


def test_a_group_that_is_no_number_goes_nowhere(at: AtPage) -> None:
    at.enter(at.job.containers[0].number)
    at.enter("three")
    assert at.job.work.state.drops[0].counted == 0


def test_pieces_are_counted_without_a_balance(beside: Bring, desk: Desk) -> None:
    keep_ingredient(desk, "Tablet", source=Source.UNITS, strength=amount("5 mg"))
    lines = active("Tablet", "4 pieces"), a_line("Powder", "1 g per unit")
    content = kept_well(a_formula(*lines, units=20), form=Form.POWDERS, route=Route.MOUTH)
    job = a_job(desk, content).started("20").cleared()
    at = beside(job)
    assert at.heading == "Tablet"
    at.enter(job.containers[0].number)
    assert "Balance" not in plain("\n".join(at.page.view.shown.notes))
    at.enter("3")
    assert at.heading == "Tablet"
    at.enter("1")
    assert at.heading == "Powder"
    assert holding_of(desk.store, job.containers[0]).on_hand == amount("496 pieces")
    assert [each.balance for each in job.work.state.lines[0].readings] == ["", ""]
