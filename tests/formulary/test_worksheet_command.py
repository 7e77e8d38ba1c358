"""Worksheets from the command line: of a formula, of a lot, and blanks set aside."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from formulary.bench.events import BenchCleared, LineWeighed, PlanChecked
from formulary.bench.reading import Reading
from formulary.command_line import main
from formulary.desk import Desk
from formulary.labels.raster import rasterise
from formulary.opening import open_desk
from formulary.people import Person, Post
from formulary.verbs.look_up import current_version, formula_named
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.work_at_bench import record
from tests.helpers.code_reader import codes_in
from tests.helpers.pdf_text import page_texts, squeezed
from tests.helpers.stocked import grams

Ask = Callable[..., Any]
PATIENT = "Odile Harrenfeld"


@pytest.fixture(scope="module")
def made(sample_file: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """Make a sample pharmacy with a preparation for a patient, one line weighed; give its lot."""
    path = Path(shutil.copy(sample_file, tmp_path_factory.mktemp("worksheet")))
    desk = replace(open_desk(path), signed_in=True)
    version = current_version(desk.store, formula_named(desk.store, "CR-003").id)
    order = Order("3 x 60 g", patient=PATIENT, directions="Twice a day")
    lot = start_preparation(desk, version.id, order).lot
    record(replace(desk, person=_other(desk)), lot, PlanChecked(), pin="2718")
    record(desk, lot, BenchCleared(desk.house.clearance))
    record(desk, lot, LineWeighed(0, Reading(grams(18), "Precision balance, middle bench")))
    desk.store.close()
    return path, lot


def _other(desk: Desk) -> Person:
    return next(
        each
        for each in desk.store.every(Person)
        if each.post is Post.PHARMACIST and each.id != desk.person.id
    )


@pytest.fixture
def house(made: tuple[Path, str], tmp_path: Path) -> Path:
    """Return that pharmacy as a file of this test's own."""
    return Path(shutil.copy(made[0], tmp_path / "house.misce"))


@pytest.fixture
def ask(house: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Ask:
    """Return what the command answers in JSON, as Ilse Corrander."""
    monkeypatch.setenv("MISCE_PIN", "3141")

    def asked(*arguments: str | Path) -> Any:  # noqa: ANN401  whatever JSON says
        words = [str(each) for each in arguments]
        assert main(["worksheet", *words, "--json", "--formulary", str(house)]) == 0
        return json.loads(capsys.readouterr().out)

    return asked


def read(pdf: Path) -> str:
    """Return what a PDF says, without spaces."""
    return squeezed("".join(page_texts(pdf.read_bytes())))


def test_a_formula_and_a_target_give_a_blank_without_a_lot(ask: Ask, tmp_path: Path) -> None:
    out = tmp_path / "blank.pdf"
    answer = ask("CR-003", "--to", "3 x 60 g", "--out", out)
    assert answer == {
        "lot": None,
        "pages": len(page_texts(out.read_bytes())),
        "out": str(out),
    }
    text = read(out)
    for said in ("No lot yet", "Worksheet", "3 x 60 g", "17.82 g to 18.18 g (1 %)", "SAMPLE"):
        assert squeezed(said) in text
    assert codes_in(rasterise(out.read_bytes(), 0, 300)) == []


def test_a_lot_gives_its_record_with_what_was_weighed_and_no_patients_name(
    ask: Ask, tmp_path: Path, made: tuple[Path, str]
) -> None:
    out, lot = tmp_path / "record.pdf", made[1]
    assert ask("--lot", lot, "--out", out)["lot"] == lot
    text = read(out)
    for said in (f"Lot {lot}", "Preparation record", "Right: 18 g for 18 g", "143.6 g", "checked:"):
        assert squeezed(said) in text
    assert squeezed(PATIENT) not in text
    assert "apatient,reference" in text


def test_blanks_have_lots_of_their_own_that_a_scanner_reads(ask: Ask, tmp_path: Path) -> None:
    out = tmp_path / "blanks.pdf"
    reason = ("--reason", "Power cuts announced")
    answer = ask("CR-003", "--to", "2 x 60 g", "--blanks", "2", *reason, "--out", out)
    pdf = out.read_bytes()
    codes = [codes_in(rasterise(pdf, page, 300)) for page in range(answer["pages"])]
    assert {code for found in codes for code, _ in found} == set(answer["lots"])
    assert len(answer["lots"]) == 2
    assert squeezed("Power cuts announced") in read(out)
    assert "__________" in read(out)


def test_a_draft_is_a_trial(ask: Ask, house: Path, tmp_path: Path) -> None:
    desk = open_desk(house)
    try:
        drafts = [hit for hit in desk.store.find_formulas("", 200) if hit.state.value == "draft"]
    finally:
        desk.store.close()
    out = tmp_path / "trial.pdf"
    ask(drafts[0].code, "--to", "100 g", "--out", out)
    assert "TRIAL" in read(out)


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (("CR-003",), 2, "--to"),
        (("--lot", "GS26-99999"), 1, "GS26-99999"),
        (("--lot", "GS26-00001", "--to", "3 x 60 g"), 2, "target already"),
        (("CR-003", "--to", "3 x 60 g", "--blanks", "1"), 1, "Say why"),
        (("CR-003", "--to", "3 x 60 g", "--blanks", "-1", "--reason", "x"), 1, "1 to 50"),
        (("CR-003", "--to", "3 x 60 g", "--out", "/nowhere/at/all.pdf"), 1, "can't be written"),
    ],
)
def test_what_makes_no_sense_is_told(
    house: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    arguments: tuple[str, ...],
    code: int,
    said: str,
) -> None:
    monkeypatch.setenv("MISCE_PIN", "3141")
    assert main(["worksheet", *arguments, "--formulary", str(house)]) == code
    assert said in capsys.readouterr().err


def test_people_read_how_many_pages_are_where(
    house: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    out = tmp_path / "w.pdf"
    words = ("CR-003", "--to", "3 x 60 g", "--out", str(out))
    assert main(["worksheet", *words, "--formulary", str(house)]) == 0
    assert f"pages written to {out}." in capsys.readouterr().out
