"""Second looks, end points, single masses and supervisors at the bench, by keys."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest
from PySide6.QtCore import Qt

from formulary.bench.events import PlanChecked
from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.formula.content import Content, Form, Line, Role, Route
from formulary.formula.kinds import PerUnit, ToEndPoint
from formulary.house import BenchTask, Training
from formulary.ingredient import Ingredient
from formulary.verbs.work_at_bench import happened, record
from tests.helpers.at_bench import a_step
from tests.helpers.desks import ADA, BEN, CID, PIN, at
from tests.helpers.formulas import a_formula, a_line, active, amount
from tests.helpers.stocked_bench import UREA, Job, a_job, kept_well
from tests.ui.at_desk import plain
from tests.ui.bench.conftest import CTRL, SHIFT, AtPage
from ui.context import Topic

Bring = Callable[[Job], AtPage]


def with_house(desk: Desk, **more: object) -> None:
    with at(desk, ADA).writing("save_house") as writing:
        writing.put(replace(desk.house, **more))  # type: ignore[arg-type]  # fields by name


def shown(at_page: AtPage) -> str:
    view = at_page.page.view.shown
    return plain("\n".join([*view.notes, *(said for _, said in view.sentences), *view.working]))


# The plan, checked without seeing the figures


def test_a_blind_check_shows_no_figure_and_takes_the_checkers_own(beside: Bring, job: Job) -> None:
    made = beside(job)
    assert "120 g" in shown(made)
    made.press(Qt.Key.Key_B)
    assert "120 g" not in shown(made)
    assert made.page.record.isHidden()
    for figure in ("120", "24", "6", "50"):
        made.enter(figure)
    made.sign()
    assert job.work.state.stage is Stage.PLAN_CHECKED
    checked = happened(job.work.events)[-1].event
    assert isinstance(checked, PlanChecked)
    assert checked.figures[UREA] == amount("120 g")


def test_parts_are_counted_in_words_without_figures(beside: Bring, desk: Desk) -> None:
    content = kept_well(a_formula(a_line("Wax", "1 part"), active("Urea", "2 parts")))
    made = beside(a_job(desk, content).started("90 g"))
    made.press(Qt.Key.Key_B)
    asked = [plain(each.words) for each in made.page.view.shown.entries]
    assert asked == ["Wax, 1 part", "Urea, 2 parts"]


def test_a_figure_that_differs_is_refused_and_stays_on_record(beside: Bring, job: Job) -> None:
    made = beside(job)
    made.press(Qt.Key.Key_B)
    for figure in ("120", "24", "60", "50"):
        made.enter(figure)
    made.sign()
    assert job.work.state.stage is Stage.PLANNED
    assert "Oil" in shown(made)
    assert len(job.work.state.open_deviations) == 1


def test_who_began_blind_may_look_at_the_figures_after_all(beside: Bring, job: Job) -> None:
    made = beside(job)
    made.press(Qt.Key.Key_B)
    made.press(Qt.Key.Key_Backspace, CTRL)
    assert "120 g" in shown(made)


# A line, looked at afresh


@pytest.fixture
def looked_at(desk: Desk) -> Job:
    """Return a bench whose first line waits for its second look."""
    with desk.writing("save_ingredient") as writing:
        writing.put(Ingredient("i-urea", "Urea", double_check=True))
    job = a_job(desk).started().cleared()
    job.weighs(UREA, "120 g")
    return job


def test_what_the_second_person_sees_otherwise_is_said_without_the_figure(
    beside: Bring, looked_at: Job
) -> None:
    made = beside(looked_at)
    assert made.page.record.isHidden()
    made.enter(looked_at.containers[UREA].number)
    made.enter("12")
    made.sign()
    assert looked_at.work.state.lines[UREA].checked_by == ""
    assert made.heading == "Urea: second look"
    assert "120" not in shown(made)
    assert looked_at.work.state.open_deviations


def test_another_look_settles_it(beside: Bring, looked_at: Job) -> None:
    made = beside(looked_at)
    for figure in ("12", "120"):
        made.enter(looked_at.containers[UREA].number)
        made.enter(figure)
        made.sign()
    assert looked_at.work.state.lines[UREA].checked_by == ADA.id
    assert made.heading == "Wax"


# As needed


@pytest.fixture
def adjusting(desk: Desk) -> Job:
    """Return a bench where only an acid is still to come, to its pH."""
    content = a_formula(
        active("Urea", "10 g"),
        a_line("Gel", "90 g"),
        Line("Acid", ToEndPoint("pH 5.5"), Role.PH_ADJUSTER),
        steps=(a_step("Mix and adjust"),),
    )
    job = a_job(desk, kept_well(content)).started("100 g").cleared()
    job.weighs(0, "10 g")
    job.weighs(1, "90 g")
    return job


def test_more_goes_in_until_the_end_point_is_said(beside: Bring, adjusting: Job) -> None:
    made = beside(adjusting)
    assert made.heading == "Acid"
    made.enter(adjusting.containers[2].number)
    made.enter("1")
    made.press(Qt.Key.Key_PageDown)
    made.enter("1.5")
    assert made.heading == "Acid"
    made.press(Qt.Key.Key_N, CTRL | SHIFT)
    assert made.heading == "Acid: the end point"
    assert "pH 5.5" in shown(made)
    made.enter("pH 5.5")
    line = adjusting.work.state.lines[2]
    assert line.ended
    assert len(line.readings) == 2
    assert made.heading == "Step 1 of 1"


def test_nothing_at_all_may_be_needed_once_it_is_said(beside: Bring, adjusting: Job) -> None:
    made = beside(adjusting)
    made.press(Qt.Key.Key_N, CTRL | SHIFT)
    made.enter()
    assert not adjusting.work.state.lines[2].ended
    made.enter("pH 5.4 already")
    assert made.heading == "Step 1 of 1"
    made.press(Qt.Key.Key_Return)
    assert made.heading == "Yield"


# Single masses


def capsules() -> Content:
    """Return ten capsules of 300 mg each."""
    mass = PerUnit(amount("100 mg")), PerUnit(amount("200 mg"))
    lines = (Line("Urea", mass[0], Role.ACTIVE), Line("Wax", mass[1], Role.FILLER))
    content = a_formula(*lines, units=10)
    return kept_well(content, form=Form.CAPSULES, route=Route.ORAL)


def weighed_units(beside: Bring, desk: Desk) -> AtPage:
    """Return the page of ten capsules that are made and not weighed singly yet."""
    job = a_job(desk, capsules()).started("10").cleared().weighs_all()
    made = beside(job)
    made.context.tell_changed(Topic.HOUSE)
    made.settle()
    made.page.course.show_again()
    while "uniformity" not in made.heading:
        made.press(Qt.Key.Key_PageDown)
    return made


def test_each_capsule_of_a_small_batch_is_weighed_and_judged_by_the_named_rule(
    beside: Bring, desk: Desk
) -> None:
    with_house(desk, small_batch_rule="House rule S-1", small_batch_outside=1)
    made = weighed_units(beside, desk)
    assert "1 of 10" in made.heading
    assert "less its empty shell" in shown(made)
    for figure in ("300", "301", "299", "300", "300"):
        made.enter(figure)
    made.enter("30")
    made.press(Qt.Key.Key_Backspace, CTRL)
    assert "6 of 10" in made.heading
    for figure in ("300", "302", "298", "300", "300"):
        made.enter(figure)
    assert "House rule S-1" in shown(made)
    made.press(Qt.Key.Key_Return)
    (tested,) = made.job.work.state.tests
    assert tested.passed
    event = happened(made.job.work.events)[-1].event
    assert len(event.weights) == 10  # type: ignore[union-attr]  # the test of quality


def test_masses_far_apart_fail_and_open_a_deviation(beside: Bring, desk: Desk) -> None:
    with_house(desk, small_batch_rule="House rule S-1")
    made = weighed_units(beside, desk)
    for figure in ("300",) * 8 + ("200", "400"):
        made.enter(figure)
    made.press(Qt.Key.Key_Return)
    (tested,) = made.job.work.state.tests
    assert not tested.passed
    assert made.job.work.state.open_deviations


def test_without_a_rule_somebody_judges_the_small_batch(beside: Bring, desk: Desk) -> None:
    made = weighed_units(beside, desk)
    assert "no named rule" in shown(made)
    made.enter("all between 295 and 305 mg")
    (tested,) = made.job.work.state.tests
    assert (tested.found, tested.passed) == ("all between 295 and 305 mg", True)


# Training


@pytest.fixture
def untrained(desk: Desk) -> Job:
    """Return a checked plan in a house where only Ben is trained for it."""
    review = desk.today + timedelta(days=30)
    with_house(desk, trainings=(Training(BEN.id, BenchTask.SEMISOLIDS, review),))
    job = a_job(desk).started()
    record(at(desk, ADA), job.lot, PlanChecked(), pin=PIN)
    return job


def sign_as(made: AtPage, person_id: str) -> None:
    """Choose who signs, and type the PIN."""
    assert made.asking.dialog is not None
    people = made.asking.dialog.person
    people.setCurrentIndex(people.findData(person_id))
    made.sign()


def test_who_isnt_trained_begins_with_somebody_fit_who_signs(beside: Bring, untrained: Job) -> None:
    made = beside(untrained)
    assert "no training on record" in shown(made)
    made.press(Qt.Key.Key_Return)
    sign_as(made, BEN.id)
    assert untrained.work.state.stage is Stage.BENCH_CLEARED
    assert made.heading == "Urea"


def test_who_isnt_fit_either_cant_stand_by(beside: Bring, untrained: Job) -> None:
    made = beside(untrained)
    made.press(Qt.Key.Key_Return)
    sign_as(made, ADA.id)
    assert untrained.work.state.stage is Stage.PLAN_CHECKED
    people = made.asking.dialog.person if made.asking.dialog is not None else None
    assert people is not None
    assert people.findData(CID.id) == -1


def test_who_is_trained_needs_nobody(beside: Bring, desk: Desk) -> None:
    review = desk.today
    with_house(desk, trainings=(Training(CID.id, BenchTask.SEMISOLIDS, review),))
    job = a_job(desk).started()
    record(at(desk, ADA), job.lot, PlanChecked(), pin=PIN)
    made = beside(job)
    made.press(Qt.Key.Key_Return)
    assert made.heading == "Urea"
