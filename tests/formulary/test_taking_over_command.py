"""``misce export --formulas`` and ``misce import`` of folders and tables."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from formulary.command_line import main
from formulary.records.opening import open_store
from formulary.records.verifying import verify

Misce = Callable[..., tuple[int, Any]]


@pytest.fixture
def house(sample_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a sample pharmacy, with the pharmacist's PIN in the environment."""
    monkeypatch.setenv("MISCE_PIN", "3141")
    return Path(shutil.copy(sample_file, tmp_path / "house.misce"))


@pytest.fixture
def misce(house: Path, capsys: pytest.CaptureFixture[str]) -> Misce:
    """Return a command's code and its answer in JSON, or what it said instead."""

    def run(*words: str | Path) -> tuple[int, Any]:
        code = main([*map(str, words), "--json", "--formulary", str(house)])
        said = capsys.readouterr()
        return code, json.loads(said.out) if said.out else said.err

    return run


@pytest.fixture
def entries(house: Path) -> Iterator[Callable[[], int]]:
    """Return how to count the history's entries, each time with the chain verified."""

    def count() -> int:
        store = open_store(house)
        try:
            assert verify(store).good
            last = store.last_entry()
        finally:
            store.close()
        return last.number if last else 0

    yield count
    count()


def fates(said: dict[str, Any]) -> list[str]:
    return [each["fate"] for each in said["rows"]]


def test_formulas_go_out_and_come_back_unchanged(
    misce: Misce, tmp_path: Path, entries: Callable[[], int]
) -> None:
    out = tmp_path / "out"
    code, said = misce("export", "--formulas", "--out", out)
    assert code == 0
    assert len([*out.iterdir()]) == len(said["formulas"]) > 30
    before = entries()
    code, said = misce("import", out)
    assert (code, said["kept"], set(fates(said))) == (0, True, {"unchanged"})
    assert entries() == before


def test_one_bad_file_keeps_all_out(
    misce: Misce, tmp_path: Path, entries: Callable[[], int]
) -> None:
    out = tmp_path / "out"
    misce("export", "--formulas", "--out", out)
    text = (out / "cr-001.toml").read_text(encoding="utf-8")
    (out / "cr-999.toml").write_text(text.replace("CR-001", "CR-999"), encoding="utf-8")
    (out / "cr-998.toml").write_text(text.replace(' g"', ' q"', 1), encoding="utf-8")
    before = entries()
    code, said = misce("import", out, "--reason", "from elsewhere")
    by_name = {each["name"]: each for each in said["rows"]}
    assert (code, said["kept"]) == (1, False)
    assert by_name["cr-999.toml"]["fate"] == "new"
    assert by_name["cr-998.toml"]["fate"] == "refused"
    assert by_name["cr-998.toml"]["line"] > 1
    assert "quantity" in by_name["cr-998.toml"]["field"]
    assert entries() == before
    (out / "cr-998.toml").unlink()
    assert misce("import", out, "--look")[1]["kept"] is False
    assert entries() == before
    assert misce("import", out)[1]["kept"] is True
    assert entries() == before + 1
    assert misce("show", "CR-999")[1]["state"] == "draft"
