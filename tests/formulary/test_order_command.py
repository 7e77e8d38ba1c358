"""``misce order``: a prescription in, proposals and doubts out, nothing kept."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from formulary.command_line import main
from formulary.opening import open_desk

RX = """Rp.
Acidi salicylici 2,0
Vaselini albi ad 100,0
M. f. ungt.
D. S. Apply thinly at night.
"""


@pytest.fixture(scope="module")
def sample(sample_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a copy of the sample pharmacy."""
    return Path(shutil.copy(sample_file, tmp_path_factory.mktemp("sample")))


@pytest.fixture
def prescription(tmp_path: Path) -> Path:
    """Write a prescription down."""
    path = tmp_path / "rx.txt"
    path.write_text(RX, encoding="utf-8")
    return path


def test_each_line_is_proposed_with_its_doubts(
    sample: Path, prescription: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    command = ["order", "--file", str(prescription), "--json", "--formulary", str(sample)]
    assert main(command) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    taken = [(each["ingredient"], each["quantity"]) for each in found["lines"] if each["quantity"]]
    assert taken == [("Salicylic acid", "2 g"), ("White soft paraffin", "to 100 g")]
    assert found["lines"][0]["text"] == "Rp."
    assert (found["form"], found["directions"]) == ("ointment", "Apply thinly at night.")
    assert found["nearest"][0]["differences"]


def test_people_read_that_nothing_is_kept(
    sample: Path, prescription: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = _history(sample)
    assert main(["order", "--file", str(prescription), "--formulary", str(sample)]) == 0
    said = capsys.readouterr().out
    assert "White soft paraffin: to 100 g" in said
    assert "Nothing was kept." in said
    assert _history(sample) == before


def test_a_file_that_isn_t_there_gets_a_sentence(
    sample: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["order", "--file", "nowhere.txt", "--formulary", str(sample)]) == 1
    assert "nowhere.txt" in capsys.readouterr().err


def _history(sample: Path) -> int:
    desk = open_desk(sample)
    try:
        return len(desk.store.history(limit=10_000))
    finally:
        desk.store.close()
