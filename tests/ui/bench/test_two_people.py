"""At the bench: a controlled substance under two PINs, a mixture, look-alikes, goods, results."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from formulary.desk import Desk
from formulary.formula.content import Content, QualityTest, Route
from formulary.monograph import Handling, HazardListing
from formulary.stock.container import StockContainer
from formulary.stock.counting import CountedGood, Sort
from formulary.stock.lot import Source, SupplyLot
from formulary.stock.moves import StockMove
from formulary.verbs.count_goods import goods_left, receive_goods, save_goods
from formulary.verbs.look_up_stock import holding_of
from tests.helpers.formulas import a_formula, a_line, active
from tests.helpers.stocked import PDF, grams
from tests.helpers.stocked_bench import Job, a_job, keep_ingredient, kept_well
from tests.ui.at_desk import plain
from tests.ui.bench.conftest import CTRL, AtPage
from tests.ui.file_questions import choose_file

Bring = Callable[[Job], AtPage]
LISTED = Handling((HazardListing("NIOSH list", "2024", "table 2"),), "in the cabinet")


def cream(dose: str = "60 g", **more: object) -> Content:
    return kept_well(a_formula(active("Urea", dose), a_line("Wax", "to 100 g")), **more)


def started(desk: Desk, content: Content, target: str = "100 g") -> Job:
    return a_job(desk, content).started(target).cleared()


def moves_of(job: Job, line: int = 0) -> list[StockMove]:
    return list(job.desk.store.having(StockMove, container_id=job.containers[line].id))


def test_a_controlled_substance_asks_for_both_pins(beside: Bring, desk: Desk) -> None:
    keep_ingredient(desk, "Urea", controlled=True)
    job = started(desk, cream())
    at = beside(job)
    at.enter(job.containers[0].number)
    assert "second person" in shown(at)
    at.enter("60")
    assert at.asking.dialog is not None
    at.sign()
    assert job.work.state.lines[0].readings == ()
    at.sign()
    assert [each.person for each in moves_of(job)[-1].signatures] == ["Cid Dane", "Ada Berg"]
    assert at.heading == "Wax"


def test_whoever_steps_back_from_a_signature_can_ask_for_it_again(
    beside: Bring, desk: Desk
) -> None:
    job = a_job(desk, cream()).started("100 g")
    at = beside(job)
    assert at.heading == "Check the plan"
    for _ in range(2):
        at.enter()
        dialog = at.asking.dialog
        assert dialog is not None
        QTest.keyClick(dialog, Qt.Key.Key_Escape)
        at.settle()
        assert at.focused() is at.page.view.accent_button


def test_a_book_that_holds_less_stops_it_with_the_reason(beside: Bring, desk: Desk) -> None:
    keep_ingredient(desk, "Urea", controlled=True)
    job = a_job(desk, cream(), each=50).started("100 g").cleared()
    at = beside(job)
    at.enter(job.containers[0].number)
    at.enter("60")
    at.sign()
    at.sign()
    assert "The book holds 50 g" in plain(at.trouble or dialog_says(at))
    assert job.work.state.lines[0].readings == ()


def test_a_mixture_is_made_before_its_part_is_weighed(beside: Bring, desk: Desk) -> None:
    job = started(desk, cream("0.1 % w/w"))
    plan = job.work.state.job.plan.lines[0].sub_plan
    assert plan is not None
    assert plan.taken is not None
    assert plan.made_with is not None
    at = beside(job)
    assert at.heading == "Make the mixture for Urea"
    at.enter(job.containers[0].number)
    at.enter(bare(plan.taken.to("g").number))
    at.enter(job.containers[1].number)
    at.enter(bare(plan.made_with.to("g").number))
    assert at.heading == "Urea"
    left = holding_of(desk.store, job.containers[0]).on_hand
    assert left == grams(500) - plan.taken
    at.enter(bare(plan.aliquot.to("g").number))
    assert at.heading == "Wax"
    assert holding_of(desk.store, job.containers[0]).on_hand == left


def test_look_alikes_and_hazards_are_pointed_out_at_the_container(
    beside: Bring, desk: Desk
) -> None:
    keep_ingredient(desk, "Ureaform")
    keep_ingredient(desk, "Urea", look_alikes=("Ureaform",), handling=LISTED)
    at = beside(started(desk, cream()))
    assert "Easily taken for Ureaform" in shown(at)
    assert "in the cabinet" in shown(at)


def test_containers_filled_come_off_the_shelf(beside: Bring, desk: Desk) -> None:
    jars = save_goods(desk, CountedGood("g-1", "Jar 100 mL", Sort.CONTAINER, number="J-1"))
    receive_goods(desk, jars.id, 5)
    job = started(desk, cream()).weighs_all()
    at = beside(job)
    at.enter("100")
    choice = at.page.view.entries.inputs["goods"]
    choice.choose(jars.id)  # type: ignore[union-attr]  # a list to choose from
    at.enter("100")
    assert goods_left(desk.store, jars.id) == 4
    assert len(job.work.state.jars) == 1


def test_a_certificate_goes_with_a_finding(
    beside: Bring, desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "assay.pdf"
    file.write_bytes(PDF)
    choose_file(monkeypatch, file)
    content = replace(cream(), tests=(QualityTest("Assay", "by the laboratory"),))
    job = started(desk, content).packed("100 g")
    at = beside(job)
    assert at.heading == "Assay"
    at.press(Qt.Key.Key_O, CTRL)
    assert "assay.pdf" in shown(at)
    at.enter("99.1 %")
    assert [each.found for each in job.work.state.tests] == ["99.1 %"]
    assert '"certificate"' in job.work.events[-1].event


@pytest.mark.parametrize(
    ("limits", "said"), [("None", "None is allowed."), ("by hand", "Right: by hand")]
)
def test_a_tests_limits_never_stand_as_a_bare_word(
    beside: Bring, desk: Desk, limits: str, said: str
) -> None:
    content = replace(cream(), tests=(QualityTest("Lumps", limits),))
    at = beside(started(desk, content).packed("100 g"))
    assert at.heading == "Lumps"
    assert shown(at) == said


def shown(at: AtPage) -> str:
    view = at.page.view
    return plain("\n".join([*view.shown.notes, *(said for _, said in view.shown.sentences)]))


def dialog_says(at: AtPage) -> str:
    assert at.asking.dialog is not None
    return "\n".join(each.text() for each in at.asking.dialog.findChildren(type(at.page.last)))


def bare(number: Fraction) -> str:
    return f"{float(number):g}"


def test_a_controlled_trituration_becomes_stock_under_two_pins(beside: Bring, desk: Desk) -> None:
    keep_ingredient(desk, "Trituration", source=Source.INTERMEDIATE, controlled=True)
    job = started(desk, cream(route=Route.NOT_A_MEDICINE), "2 x 50 g").released("50 g", "49 g")
    at = beside(job)
    at.enter("Safe")
    at.sign()
    assert at.asking.dialog is not None
    offered = at.asking.dialog.person
    assert "Cid Dane" not in [offered.itemText(row) for row in range(offered.count())]
    at.sign()
    (lot,) = desk.store.having(SupplyLot, made_as=job.made.id)
    jars = desk.store.having(StockContainer, lot_id=lot.id)
    moves = [move for jar in jars for move in desk.store.having(StockMove, container_id=jar.id)]
    signed = [[each.person for each in move.signatures] for move in moves]
    assert signed == [["Cid Dane", "Ada Berg"]] * 2


def test_a_base_becomes_a_lot_of_stock_from_the_bench(beside: Bring, desk: Desk) -> None:
    keep_ingredient(desk, "Base", source=Source.INTERMEDIATE)
    content = cream(route=Route.NOT_A_MEDICINE)
    job = started(desk, content, "2 x 50 g").released("50 g", "49 g")
    at = beside(job)
    assert at.heading == "Keep it as stock"
    at.enter("Shelf 9")
    (lot,) = desk.store.having(SupplyLot, made_as=job.made.id)
    assert (lot.number, lot.place) == (job.lot, "Shelf 9")
    containers = desk.store.having(StockContainer, lot_id=lot.id)
    assert [str(each.size.number) for each in containers] == ["50", "49"]
