"""The register from the command line."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from formulary.acts import Act
from formulary.bench.stages import Stage
from formulary.command_line import main
from formulary.opening import open_desk
from formulary.signing import Meaning, Signature
from formulary.stock.recall import Reach, Recall
from formulary.verbs.look_up import current_version, formula_named
from formulary.verbs.reserve_blanks import reserve_blanks
from formulary.verbs.start_preparation import Order, start_preparation

Ask = Callable[..., Any]
PATIENT = "Odile Harrenfeld"


@pytest.fixture(scope="module")
def house(sample_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make a sample pharmacy with a cream begun and a blank of an ointment."""
    path = Path(shutil.copy(sample_file, tmp_path_factory.mktemp("register")))
    desk = replace(open_desk(path), signed_in=True)
    cream = current_version(desk.store, formula_named(desk.store, "CR-003").id)
    ointment = current_version(desk.store, formula_named(desk.store, "OI-002").id)
    start_preparation(desk, cream.id, Order("3 x 60 g", patient=PATIENT, directions="Thinly"))
    reserve_blanks(desk, ointment.id, Order("2 x 50 g"), 1, "Power cuts announced")
    desk.store.close()
    return path


@pytest.fixture
def asked(house: Path, capsys: pytest.CaptureFixture[str]) -> Ask:
    """Return what the command answers in JSON."""

    def ask(*arguments: str) -> Any:  # noqa: ANN401  whatever JSON says
        assert main(["register", *arguments, "--json", "--formulary", str(house)]) == 0
        return json.loads(capsys.readouterr().out)

    return ask


def test_what_was_begun_is_listed_with_its_state_and_dates(asked: Ask) -> None:
    (row,) = asked("urea", "cream", "--state", "planned")
    assert {
        "formula": "CR-003",
        "version": 2,
        "state": "planned",
        "containers": 3,
        "labels_printed": 0,
        "started_by": "Ilse Corrander",
    }.items() <= row.items()
    assert row["made"] < row["use_by"]
    assert row["lot"].startswith("GS")


def test_the_newest_comes_first(asked: Ask) -> None:
    lots = [each["lot"] for each in asked()]
    assert len(lots) >= 2
    assert lots.index(asked("OI-002")[0]["lot"]) < lots.index(asked("--state", "planned")[0]["lot"])


def test_a_state_picks_what_is_there_now(asked: Ask) -> None:
    assert [each["formula"] for each in asked("--state", "requested")] == ["OI-002"]
    assert {each["state"] for each in asked("--state", "planned")} == {"planned"}
    assert asked("ointment", "--state", "planned") == []


def test_a_blank_that_nobody_wrote_on_has_no_day_of_making_and_none_of_use(asked: Ask) -> None:
    (blank,) = asked("--state", "requested")
    assert (blank["made"], blank["use_by"]) == (None, None)
    assert blank["started"].startswith("20")


def test_what_a_recall_reached_is_marked_and_picked(
    house: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = Path(shutil.copy(house, tmp_path))
    desk = open_desk(path)
    (row, *_) = desk.store.register("urea cream", stage=Stage.PLANNED)
    with desk.store.writing(desk.act(), "recall") as writing:
        writing.put(_recall_of(row.preparation_id, desk.act()))
    desk.store.close()
    assert main(["register", "--state", "recalled", "--json", "--formulary", str(path)]) == 0
    rows = json.loads(capsys.readouterr().out)
    assert row.lot in [each["lot"] for each in rows if each["recalled"]]
    assert all(each["recalled"] for each in rows)
    assert main(["register", "--state", "recalled", row.lot, "--formulary", str(path)]) == 0
    assert "planned, frozen" in capsys.readouterr().out


def _recall_of(preparation_id: str, act: Act) -> Recall:
    signature = Signature(act.person_id, act.person, act.role, Meaning.DECIDED, act.at)
    reach = Reach((), (), (preparation_id,), (), ())
    return Recall("r-1", (), "glass", signature, reach, ())


def test_words_after_the_state_count_too(asked: Ask) -> None:
    assert [each["formula"] for each in asked("--state", "requested", "salicylic")] == ["OI-002"]


def test_no_patient_is_listed(asked: Ask) -> None:
    assert PATIENT not in json.dumps(asked())


def test_people_read_two_lines_each(house: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["register", "--state", "requested", "--formulary", str(house)]) == 0
    first, second = capsys.readouterr().out.splitlines()
    assert "OI-002 Salicylic acid ointment 5 %" in first
    assert "requested" in first
    assert "2 containers; started by Ilse Corrander" in second


def test_nothing_found_is_said(house: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["register", "nonesuch", "--formulary", str(house)]) == 0
    assert "Nothing in the register fits that." in capsys.readouterr().out


def test_an_unknown_state_is_told_with_those_there_are(
    house: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["register", "--state", "gone", "--formulary", str(house)]) == 2
    assert "awaiting release" in capsys.readouterr().err
