"""The lot of the containers, and a laboratory's certificate, on a preparation's own record."""

from __future__ import annotations

import pytest

from formulary.bench.events import QualityTested, StepDone, YieldTaken
from formulary.desk import Desk
from formulary.errors import NotFound, Refusal
from formulary.formula.content import QualityTest
from formulary.labels.page import GlyphRun
from formulary.papers.subject import of_lot
from formulary.papers.worksheet import worksheet
from formulary.stock.counting import CountedGood, Sort
from formulary.stock.moves import Cause, StockMove
from formulary.verbs.attach_result import attach_result, attached_file
from formulary.verbs.count_goods import goods_left, receive_goods, save_goods
from formulary.verbs.fill_containers import fill_containers
from formulary.verbs.work_at_bench import happened, record
from tests.helpers.formulas import amount
from tests.helpers.stocked import PDF
from tests.helpers.stocked_bench import Job, a_job, a_stocked_house, four_lines

JARS = CountedGood("g-60", "Jar 60 mL", Sort.CONTAINER, number="J60-2214")


@pytest.fixture
def job(desk: Desk) -> Job:
    """Make 200 g up to the filling, with a test that a laboratory does."""
    content = four_lines(tests=(QualityTest("Assay", "95 % to 105 %"),))
    made = a_job(a_stocked_house(desk), content).started().cleared().weighs_all()
    for step in range(len(made.work.content.steps)):
        record(made.desk, made.lot, StepDone(step))
    record(made.desk, made.lot, YieldTaken(amount("200 g"), inside=True))
    save_goods(made.desk, JARS)
    return made


def paper(job: Job) -> str:
    pages = worksheet(of_lot(job.desk, job.lot))
    return " ".join(
        each.text for page in pages for each in page.items if isinstance(each, GlyphRun)
    ).replace("\N{NO-BREAK SPACE}", " ")


def test_the_containers_lot_is_on_record_and_their_number_falls(job: Job) -> None:
    receive_goods(job.desk, JARS.id, 10)
    fill_containers(job.desk, job.lot, (amount("100 g"), amount("100 g")), JARS.id)
    assert goods_left(job.desk.store, JARS.id) == 8
    assert "Jar 60 mL, lot J60-2214" in paper(job)
    last = job.desk.store.having(StockMove, container_id=JARS.id)[-1]
    assert last.preparation_lot == job.lot


def test_a_count_that_held_fewer_never_stops_the_filling(job: Job) -> None:
    receive_goods(job.desk, JARS.id, 1)
    fill_containers(job.desk, job.lot, (amount("100 g"), amount("100 g")), JARS.id)
    assert goods_left(job.desk.store, JARS.id) == 0
    moves = job.desk.store.having(StockMove, container_id=JARS.id)
    assert [each.cause for each in moves[1:]] == [Cause.DISCREPANCY, Cause.WASTED]


def test_containers_that_nobody_counts_are_filled_all_the_same(job: Job) -> None:
    fill_containers(job.desk, job.lot, (amount("100 g"), amount("100 g")))
    assert len(job.work.state.jars) == 2


def test_goods_that_aren_t_there_are_said_and_nothing_is_filled(job: Job) -> None:
    with pytest.raises(NotFound):
        fill_containers(job.desk, job.lot, (amount("100 g"), amount("100 g")), "g-none")
    assert job.work.state.jars == ()


def test_a_result_is_kept_with_its_certificate(job: Job) -> None:
    attach_result(job.desk, job.lot, QualityTested("Assay", "99.1 %", passed=True), "a.pdf", PDF)
    assert [each.found for each in job.work.state.tests] == ["99.1 %"]
    assert "a.pdf" in paper(job)


def test_the_certificate_comes_back_as_it_was(job: Job) -> None:
    finding = QualityTested("Assay", "99.1 %", passed=True)
    attach_result(job.desk, job.lot, finding, "a.pdf", PDF)
    event = happened(job.work.events)[-1].event
    assert isinstance(event, QualityTested)
    assert event.certificate is not None
    assert attached_file(job.desk.store, event.certificate.name, event.certificate.sha256) == PDF


def test_what_is_no_document_is_no_certificate(job: Job) -> None:
    finding = QualityTested("Assay", "99.1 %", passed=True)
    with pytest.raises(Refusal):
        attach_result(job.desk, job.lot, finding, "a.exe", b"MZ")
    assert job.work.state.tests == ()
    with pytest.raises(NotFound):
        attached_file(job.desk.store, "a.pdf", "0" * 64)
