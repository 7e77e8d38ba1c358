"""The dossier from the command line: added to, listed and given back."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from formulary.command_line import main
from formulary.opening import create_sample
from tests.helpers.stocked import PDF


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("dossier") / "house.misce"
    create_sample(path, worked=False).store.close()
    return path


def test_a_file_is_kept_listed_and_written_again(
    place: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("MISCE_PIN", "3141")
    study, out = tmp_path / "study.pdf", tmp_path / "again.pdf"
    study.write_bytes(PDF)
    house = ["--formulary", str(place)]
    words = ["--add", str(study), "--kind", "stability", "--title", "Study of 2025"]
    assert main(["dossier", "CR-003", *words, *house, "--json"]) == 0
    (kept,) = json.loads(capsys.readouterr().out)
    assert (kept["kind"], kept["file"]) == ("stability", "study.pdf")
    assert main(["dossier", "CR-003", *house]) == 0
    assert "Stability: Study of 2025" in capsys.readouterr().out
    assert main(["dossier", "CR-003", "--save", "1", "--out", str(out), *house]) == 0
    assert out.read_bytes() == PDF
    assert main(["dossier", "CR-003", "--save", "2", *house]) == 1
    assert "number 2" in capsys.readouterr().err


def test_a_file_that_isnt_there_gets_a_sentence(
    place: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("MISCE_PIN", "3141")
    words = ["--add", "nowhere.pdf", "--title", "x", "--formulary", str(place)]
    assert main(["dossier", "CR-001", *words]) == 1
    assert "nowhere.pdf" in capsys.readouterr().err
