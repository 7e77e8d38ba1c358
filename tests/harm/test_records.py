"""No formula, no worksheet, no check, no release: what leads to harm by being left out."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from formulary.bench.events import BenchCleared, ContainersFilled, Released, SentForRelease
from formulary.command_line import main
from formulary.desk import Desk
from formulary.labels.content import Stamp
from formulary.opening import create_sample
from formulary.verbs.hand_over_jar import hand_over_jars
from formulary.verbs.issue_labels import issue_labels, label_contents
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.work_at_bench import record
from formulary.verbs.write_version import write_version
from tests.harm.conftest import Stopped
from tests.helpers.desks import ADA, BEN, CID, PIN, at
from tests.helpers.formulas import amount
from tests.helpers.stocked_bench import UREA, Job, a_job, four_lines


@pytest.fixture
def job(desk: Desk) -> Job:
    return a_job(desk).started("200 g").cleared()


def test_10_2_pdl_2022_without_a_formula_in_use_nothing_is_made(
    desk: Desk, stopped: Stopped
) -> None:
    draft = write_version(at(desk, ADA), four_lines())
    said = stopped(lambda: start_preparation(desk, draft.id, Order("100 g")))
    assert said.key == "verbs.not_in_use"


def test_10_2_pdl_2022_the_command_line_is_no_way_round_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "house.misce"
    create_sample(place, worked=False).store.close()
    monkeypatch.setenv("MISCE_PIN", "3141")
    monkeypatch.setattr("sys.stdin", io.StringIO())
    code = main(["prepare", "CR-005", "--to", "60 g", "--formulary", str(place)])
    assert code == 1
    assert "in use" in capsys.readouterr().err


def test_10_2b_pdl_2022_a_worksheet_with_open_fields_is_no_batch(
    job: Job, stopped: Stopped
) -> None:
    job.weighs(UREA, "120 g")
    for act in (
        lambda: record(job.desk, job.lot, ContainersFilled((amount("200 g"),))),
        lambda: record(job.desk, job.lot, SentForRelease()),
        lambda: record(at(job.desk, BEN), job.lot, Released(), pin=PIN),
    ):
        assert stopped(act).key.startswith("bench.")
    assert job.work.state.jars == ()


def test_10_2c_the_plan_is_looked_at_by_another_person_before_the_bench(
    desk: Desk, stopped: Stopped
) -> None:
    started = a_job(desk).started("200 g")
    clear = BenchCleared(started.work.job.clearance)
    assert stopped(lambda: record(desk, started.lot, clear)).key.startswith("bench.")


def test_10_15_nothing_is_handed_over_before_its_release(job: Job, stopped: Stopped) -> None:
    job.packed()
    said = stopped(lambda: hand_over_jars(job.desk, job.lot, (1,), ward="Ward 3"))
    assert said.key.startswith(("bench.", "verbs."))


def test_10_15b_who_made_it_doesnt_release_it(job: Job, stopped: Stopped) -> None:
    job.packed().awaiting_release()
    stopped(lambda: record(at(job.desk, CID), job.lot, Released(), pin=PIN))
    assert record(at(job.desk, BEN), job.lot, Released(), pin=PIN).preparation.stage.value == (
        "released"
    )


def test_10_14_labels_before_packing_are_proofs_and_say_so(job: Job) -> None:
    contents = label_contents(job.desk, job.made)
    assert contents[0].stamp is Stamp.PROOF
    assert issue_labels(job.desk, job.lot, "100x50", lambda *_: None).proof
