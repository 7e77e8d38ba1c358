"""A calculation kept from the command line is shown with its formula."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from formulary.command_line import main

DILUTION = ["calculate", "dilution", "stock_strength=10 %", "target_strength=2 %", "target=100 mL"]


@pytest.fixture
def house(sample_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """Return where a sample pharmacy is; its first pharmacist's PIN is set."""
    monkeypatch.setenv("MISCE_PIN", "3141")
    return str(shutil.copy(sample_file, tmp_path / "house.misce"))


def test_it_is_kept_and_shown(house: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*DILUTION, "--keep-with", "CR-003", "--note", "ward", "--formulary", house]) == 0
    assert capsys.readouterr().out.rstrip().endswith("is kept with CR-003.")
    assert main(["show", "CR-003", "--json", "--formulary", house]) == 0
    (kept,) = json.loads(capsys.readouterr().out)["calculations"]
    assert kept["name"] == "dilution"
    assert kept["inputs"]["target"] == "100 mL"
    assert kept["answer"]["results"][0] == {"name": "stock", "amount": "20", "unit": "mL"}
    assert kept["note"] == "ward"
    assert main(["show", "CR-003", "--formulary", house]) == 0
    assert "Stock to take 20" in capsys.readouterr().out


def test_what_it_belongs_to_must_be_there(house: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*DILUTION, "--keep-with", "zeppelin", "--formulary", house]) == 1
    assert "zeppelin" in capsys.readouterr().err
