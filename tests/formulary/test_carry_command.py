"""A house carried elsewhere: ``misce export``, ``import --everything`` and ``move``."""

from __future__ import annotations

import csv
import json
import shutil
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from formulary.command_line import main
from formulary.records.copying import compared
from formulary.records.opening import open_store
from formulary.records.verifying import verify

Misce = Callable[..., tuple[int, Any]]
ADMINISTRATOR, TECHNICIAN = "Nils Harrowgate", "Maren Odenholt"


@pytest.fixture
def house(sample_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a sample pharmacy, with the administrator's PIN in the environment."""
    monkeypatch.setenv("MISCE_PIN", "6931")
    return Path(shutil.copy(sample_file, tmp_path / "house.misce"))


@pytest.fixture
def misce(capsys: pytest.CaptureFixture[str]) -> Misce:
    """Return a command's code and its answer in JSON, or what it said instead."""

    def run(*words: str | Path, person: str = ADMINISTRATOR) -> tuple[int, Any]:
        code = main([*map(str, words), "--json", "--as", person])
        said = capsys.readouterr()
        return code, json.loads(said.out) if said.out else said.err

    return run


def last_act(place: Path | str) -> tuple[str, str]:
    store = open_store(place)
    entry = store.last_entry()
    good = verify(store).good
    store.close()
    assert entry is not None
    assert good
    return entry.verb, entry.act.person


def test_a_house_goes_out_and_comes_back_equal(house: Path, tmp_path: Path, misce: Misce) -> None:
    out, back = tmp_path / "out", tmp_path / "back.misce"
    assert misce("export", "--everything", "--out", out, "--formulary", house)[0] == 0
    code, said = misce("import", "--everything", out / "house.jsonl", "--formulary", back)
    assert (code, said["place"]) == (0, str(back))
    assert last_act(house) == ("export_everything", ADMINISTRATOR)
    assert last_act(back) == ("import_everything", ADMINISTRATOR)
    assert misce("find", "zinc", "--formulary", back) == misce("find", "zinc", "--formulary", house)


def test_what_goes_out_only_its_owner_may_read(house: Path, tmp_path: Path, misce: Misce) -> None:
    out = tmp_path / "out"
    misce("export", "--everything", "--out", out, "--formulary", house)
    assert stat.S_IMODE(out.stat().st_mode) == 0o700
    assert {stat.S_IMODE(each.stat().st_mode) for each in out.iterdir()} == {0o600}
    with (out / "person.csv").open(encoding="utf-8", newline="") as file:
        people = [*csv.DictReader(file)]
    assert ADMINISTRATOR in {each["name"] for each in people}
    assert not any("argon2" in text for each in people for text in each.values())


def test_a_file_that_was_written_into_leaves_no_formulary(
    house: Path, tmp_path: Path, misce: Misce
) -> None:
    out, back = tmp_path / "out", tmp_path / "back.misce"
    misce("export", "--everything", "--out", out, "--formulary", house)
    lines = (out / "house.jsonl").read_text(encoding="utf-8")
    for spoilt, said in (
        (lines.replace("Ilse Corrander", "Else Corrander"), "history"),
        (lines[: len(lines) // 2], "line "),
    ):
        (out / "house.jsonl").write_text(spoilt, encoding="utf-8")
        code, sentence = misce("import", "--everything", out / "house.jsonl", "--formulary", back)
        assert code == 1
        assert said in sentence
        assert [*tmp_path.glob("back*")] == []


def test_who_may_not_take_a_house_out_leaves_no_folder(
    house: Path, tmp_path: Path, misce: Misce, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("MISCE_PIN", "1618")
    out = tmp_path / "out"
    words = ("export", "--everything", "--out", out, "--formulary", house)
    code, sentence = misce(*words, person=TECHNICIAN)
    assert code == 1
    assert TECHNICIAN in sentence
    assert not out.exists()


def test_a_house_moves_to_a_server_and_back(
    house: Path, tmp_path: Path, postgres_url: str, misce: Misce
) -> None:
    code, said = misce("move", "--to", postgres_url, "--formulary", house)
    assert code == 0
    aside = Path(said["aside"])
    assert aside.exists()
    assert not house.exists()
    assert last_act(postgres_url) == ("move_formulary", ADMINISTRATOR)
    one, other = open_store(aside), open_store(postgres_url)
    assert compared(one, other) == said["rows"]
    one.close()
    other.close()
    code, said = misce("move", "--to", tmp_path / "home.misce", "--formulary", postgres_url)
    assert (code, said["aside"]) == (0, "")
    assert last_act(tmp_path / "home.misce") == ("move_formulary", ADMINISTRATOR)


def test_a_house_is_never_moved_onto_another(house: Path, tmp_path: Path, misce: Misce) -> None:
    there = Path(shutil.copy(house, tmp_path / "there.misce"))
    code, sentence = misce("move", "--to", there, "--formulary", house)
    assert code == 1
    assert str(there) in sentence
    assert house.exists()


def test_a_place_that_can_t_be_is_named_and_not_the_file_that_was_read(
    house: Path, tmp_path: Path, misce: Misce
) -> None:
    out = tmp_path / "out"
    misce("export", "--everything", "--out", out, "--formulary", house)
    source = out / "house.jsonl"
    nowhere = tmp_path / ("n" * 300)
    code, said = misce("import", "--everything", source, "--formulary", nowhere)
    assert code == 1
    assert str(nowhere) in said
    assert str(source) not in said
    missing, back = out / "gone.jsonl", tmp_path / "back.misce"
    code, said = misce("import", "--everything", missing, "--formulary", back)
    assert code == 1
    assert str(missing) in said
    assert [*tmp_path.glob("back*")] == []
