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


def test_ingredients_show_their_fate_before_anything_is_written(
    misce: Misce, tmp_path: Path, entries: Callable[[], int]
) -> None:
    table = tmp_path / "ingredients.csv"
    table.write_text(
        "name;density;density_source;synonyms;controlled\n"
        "Invented oil;0,91 g/mL;Invented certificate 3;Oil one|Oil two;no\n"
        "Zinc oxide;;;;\n"
        "Glycerol 85 %;;;Glycerin 85;\n",
        encoding="utf-8",
    )
    before = entries()
    code, said = misce("import", "--ingredients", table, "--look")
    assert (code, said["kept"], fates(said)) == (0, False, ["new", "unchanged", "changed"])
    assert said["rows"][2]["changes"][0]["field"] == "synonyms"
    assert said["rows"][2]["changes"][0]["after"] == "Glycerin 85"
    assert entries() == before
    again = misce("import", "--ingredients", table)[1]
    assert (again["kept"], again["rows"]) == (True, said["rows"])
    assert entries() == before + 2
    assert set(fates(misce("import", "--ingredients", table)[1])) == {"unchanged"}
    assert entries() == before + 2


@pytest.mark.parametrize(
    ("cells", "field"),
    [
        ("Invented oil;1,234 g/mL;x;", "density"),
        ("Invented oil;0.9 g/mL;;", "density_source"),
        ("Invented oil;;;perhaps", "controlled"),
        (";;x;", "name"),
    ],
)
def test_one_bad_row_keeps_all_out(
    misce: Misce, tmp_path: Path, entries: Callable[[], int], cells: str, field: str
) -> None:
    table = tmp_path / "ingredients.csv"
    table.write_text(
        f"name;density;density_source;controlled\nGood powder;;;\n{cells}\n", encoding="utf-8"
    )
    before = entries()
    code, said = misce("import", "--ingredients", table)
    assert (code, said["kept"], fates(said)) == (1, False, ["new", "refused"])
    assert (said["rows"][1]["line"], said["rows"][1]["field"]) == (3, field)
    assert said["rows"][1]["trouble"]
    assert entries() == before


def test_lots_come_into_quarantine_and_not_twice(
    misce: Misce, tmp_path: Path, entries: Callable[[], int]
) -> None:
    table = tmp_path / "lots.csv"
    table.write_text(
        "ingredient;number;containers;expiry;supplier;supplier_reason\n"
        'Zinc oxide;INV-1;"2 x 500 g; 250 g";2099-03;Elsewhere;shortage\n',
        encoding="utf-8",
    )
    before = entries()
    assert fates(misce("import", "--lots", table, "--look")[1]) == ["new"]
    assert entries() == before
    assert misce("import", "--lots", table)[1]["kept"] is True
    lot = next(each for each in misce("stock")[1] if each["lot"] == "INV-1")
    assert (lot["status"], len(lot["containers"])) == ("quarantine", 3)
    assert lot["on_hand"] == {"amount": "1250", "unit": "g"}
    assert fates(misce("import", "--lots", table)[1]) == ["unchanged"]
    assert entries() == before + 1
    text = table.read_text(encoding="utf-8").replace("2099-03", "2099-04")
    table.write_text(text, encoding="utf-8")
    refused = misce("import", "--lots", table)[1]["rows"][0]
    assert (refused["fate"], refused["field"]) == ("refused", "expiry")


def test_a_template_is_a_table_without_rows(misce: Misce, tmp_path: Path) -> None:
    for sort in ("--ingredients", "--lots"):
        out = tmp_path / f"{sort}.csv"
        assert misce("import", sort, "--template", out)[0] == 0
        assert misce("import", sort, out)[1]["rows"] == []
        assert misce("import", sort, "--template", out)[0] == 1
        sheet = tmp_path / f"{sort}.xlsx"
        assert misce("import", sort, "--template", sheet)[0] == 0
        assert sheet.read_bytes().startswith(b"PK")
        assert misce("import", sort, sheet)[1]["rows"] == []
    assert misce("import", "--template", tmp_path / "x.csv")[0] == 2
    assert misce("import")[0] == 2


def test_who_may_not_is_told_so(
    misce: Misce, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    table = tmp_path / "ingredients.csv"
    table.write_text("name\nGood powder\n", encoding="utf-8")
    monkeypatch.setenv("MISCE_PIN", "5772")
    code, said = misce("import", "--ingredients", table, "--as", "Runa Veitch")
    assert code == 1
    assert "Runa Veitch" in said
