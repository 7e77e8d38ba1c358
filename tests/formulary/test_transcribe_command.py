"""Blanks entered from the command line, the log of equipment, and light records."""

from __future__ import annotations

import io
import json
import shutil
from pathlib import Path

import pytest

from formulary.command_line import main
from formulary.opening import open_desk
from formulary.verbs.work_at_bench import at_bench, happened

TECHNICIAN = "Maren Odenholt"


@pytest.fixture(scope="module")
def sample(sample_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a sample pharmacy that nobody worked in."""
    return Path(shutil.copy(sample_file, tmp_path_factory.mktemp("sample")))


def misce(*words: str, at: Path, who: str = TECHNICIAN) -> int:
    """Run a command by somebody."""
    return main([*words, "--formulary", str(at), "--as", who, "--json"])


def test_a_blank_is_entered_line_by_line_with_the_papers_times_and_people(
    sample: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("MISCE_PIN", "1618")
    out = str(tmp_path / "blank.pdf")
    made = ("worksheet", "CR-001", "--to", "1 x 100 g", "--blanks", "1", "--reason", "Power cuts")
    assert misce(*made, "--out", out, at=sample) == 0
    capsys.readouterr()
    desk = open_desk(sample)
    try:
        (blank,) = desk.store.register()
        now = desk.act().at
        day = desk.today.isoformat()
    finally:
        desk.store.close()

    def enter(lines: list[dict[str, str]], who: str, pin: str, *more: str) -> int:
        monkeypatch.setenv("MISCE_PIN", pin)
        monkeypatch.setattr("sys.stdin", io.StringIO(json.dumps(lines)))
        return misce("transcribe", blank.lot, *more, at=sample, who=who)

    at = now.isoformat()
    checked = {"does": "plan checked", "at": at, "by": "Ilse Corrander"}
    assert enter([], TECHNICIAN, "1618", "--made", day) == 0
    assert enter([checked], TECHNICIAN, "1618") == 1
    assert "Each signs" in capsys.readouterr().err
    assert enter([checked], "Ilse Corrander", "3141") == 0
    cleared = {"does": "bench cleared", "at": at, "by": TECHNICIAN}
    assert (
        enter([cleared, {"does": "dance", "at": at, "by": TECHNICIAN}], "Tobias Quell", "2718") == 1
    )
    assert "Line 2 of the paper" in capsys.readouterr().err
    desk = open_desk(sample)
    try:
        work = at_bench(desk.store, blank.lot)
        last = happened(work.events)[-1]
    finally:
        desk.store.close()
    assert work.state.from_paper == 2
    assert (last.doer, last.person) == (TECHNICIAN, "Tobias Quell")


def test_the_log_of_the_room_is_written_and_listed(
    sample: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("MISCE_PIN", "1618")
    read = ("equipment", "read", "--degrees", "21.5", "--humidity", "45")
    assert misce(*read, at=sample) == 0
    assert misce("equipment", "faulty", "--of", "Nothing such", "--note", "x", at=sample) == 1
    assert "isn't on the house's list" in capsys.readouterr().err
    assert misce("equipment", at=sample) == 0
    (entry,) = json.loads(capsys.readouterr().out)
    assert (entry["degrees"], entry["humidity"], entry["subject"]) == ("21.5", "45", None)


def test_a_product_made_up_by_its_label_has_a_light_record(
    sample: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("MISCE_PIN", "1618")
    desk = open_desk(sample)
    today = desk.today
    desk.store.close()
    made = (
        "reconstitute",
        "Granules for suspension",
        "--maker-lot",
        "A1",
        "--diluent",
        "Purified water",
        "--volume",
        "45 mL",
        "--by-label",
        "Leaflet of 2025",
        "--expiry",
        today.replace(year=today.year + 1).isoformat(),
    )
    assert misce(*made, "--use-by", "2020-01-01", at=sample) == 1
    assert "is used between" in capsys.readouterr().err
    assert misce(*made, "--use-by", today.isoformat(), at=sample) == 0
    capsys.readouterr()
    assert misce("reconstitute", at=sample) == 0
    (record,) = json.loads(capsys.readouterr().out)
    assert (record["maker_lot"], record["person"]) == ("A1", TECHNICIAN)
