"""``misce verify``, ``backup`` and ``restore``: a house checked, copied, lost and found again."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from formulary.command_line import main
from formulary.records.schema import connected

Misce = Callable[..., tuple[int, Any]]
ADMINISTRATOR, TECHNICIAN = "Nils Harrowgate", "Maren Odenholt"


@pytest.fixture
def house(sample_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a sample pharmacy, with the administrator's PIN in the environment."""
    monkeypatch.setenv("MISCE_PIN", "6931")
    return Path(shutil.copy(sample_file, tmp_path / "house.misce"))


@pytest.fixture
def misce(house: Path, capsys: pytest.CaptureFixture[str]) -> Misce:
    """Return a command's code and its answer in JSON, or what it said instead."""

    def run(*words: str) -> tuple[int, Any]:
        code = main([*words, "--json", "--formulary", str(house)])
        said = capsys.readouterr()
        return code, json.loads(said.out) if said.out else said.err

    return run


def test_a_house_is_verified_with_its_papers_and_backups(misce: Misce) -> None:
    _, backup = misce("backup")
    code, verdict = misce("verify", "--head", f"{backup['entries']}:{backup['hash']}")
    assert code == 0
    assert verdict["good"]
    assert verdict["anchors"] == 2


def test_a_paper_that_says_otherwise_ends_in_an_error(misce: Misce) -> None:
    code, verdict = misce("verify", "--head", "1:0123456789abcdef")
    assert code == 1
    (doubt,) = verdict["doubts"]
    assert doubt["flaw"] == "rewritten"
    assert doubt["entry"] == 1
    assert "0123456789abcdef" in doubt["sentence"]


def test_what_was_changed_from_outside_is_said(house: Path, misce: Misce) -> None:
    with closing(connected(house)) as connection, connection:
        connection.execute("DROP TRIGGER history_no_update")
        connection.execute("UPDATE history SET person = 'Nobody' WHERE number = 1")
    code, verdict = misce("verify")
    assert code == 1
    assert verdict["doubts"][0]["sentence"] == "Entry 1 of the history isn't what was written."


@pytest.mark.parametrize("typed", ["7", "7:abc", "x:0123456789abcdef", "7:0123456789abcdeg"])
def test_an_entry_that_isn_t_one_is_refused(misce: Misce, typed: str) -> None:
    code, said = misce("verify", "--head", typed)
    assert code == 1
    assert typed in said


def test_backups_are_listed_newest_first(misce: Misce) -> None:
    _, none = misce("backup", "--list")
    assert none == []
    _, made = misce("backup")
    _, listed = misce("backup", "--list")
    assert [each["name"] for each in listed] == [made["name"]]


def test_looking_into_a_backup_needs_no_pin(misce: Misce, monkeypatch: pytest.MonkeyPatch) -> None:
    _, made = misce("backup")
    monkeypatch.delenv("MISCE_PIN")
    code, held = misce("restore", str(Path(made["folder"]) / made["name"]), "--look")
    assert code == 0
    assert held["good"]
    assert held["formulas"] >= 24
    assert held["people"] == 5
    assert held["last"]["by"]


def test_a_lost_house_is_restored_by_its_administrator(house: Path, misce: Misce) -> None:
    _, made = misce("backup")
    house.unlink()
    backup = str(Path(made["folder"]) / made["name"])
    code, done = misce("restore", backup, "--as", ADMINISTRATOR)
    assert code == 0
    assert done["restored"] == str(house)
    assert done["replaced"] is None
    code, verdict = misce("verify")
    assert code == 0
    assert verdict["entries"] == made["entries"] + 1


def test_a_technician_can_t_turn_the_clock_back(
    house: Path, misce: Misce, monkeypatch: pytest.MonkeyPatch
) -> None:
    _, made = misce("backup")
    before = house.read_bytes()
    monkeypatch.setenv("MISCE_PIN", "1618")
    code, said = misce("restore", str(Path(made["folder"]) / made["name"]), "--as", TECHNICIAN)
    assert code == 1
    assert "Putting a backup in the formulary's place" in said
    assert house.read_bytes() == before


def test_a_passphrase_is_asked_of_the_environment(
    misce: Misce, monkeypatch: pytest.MonkeyPatch
) -> None:
    code, said = misce("backup", "--locked")
    assert code == 1
    assert "MISCE_PASSPHRASE" in said
    monkeypatch.setenv("MISCE_PASSPHRASE", "abc")
    code, said = misce("backup", "--locked")
    assert code == 1
    assert "at least 8 characters" in said
    monkeypatch.setenv("MISCE_PASSPHRASE", "correct horse")
    code, made = misce("backup", "--locked")
    assert code == 0
    assert made["locked"]
    backup = str(Path(made["folder"]) / made["name"])
    assert misce("restore", backup, "--look")[0] == 0
    monkeypatch.setenv("MISCE_PASSPHRASE", "battery staple")
    code, said = misce("restore", backup, "--look")
    assert code == 1
    assert "passphrase" in said


def test_a_backup_without_a_table_is_looked_into_and_says_which(house: Path, misce: Misce) -> None:
    with closing(connected(house)) as connection, connection:
        connection.execute("DROP TABLE formula_search")
    code, found = misce("restore", str(house), "--look")
    assert code == 1
    assert "formula_search" in found["doubts"][0]["sentence"]
