"""``misce review``: findings as data and as sentences, of a file and of a formula of the house."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from formulary.command_line import DONE, main

FORMULA = """
format = 1
title = "Zinc and salicylic acid ointment"
code = "ZS"
form = "ointment"
route = "skin"

[[ingredient]]
name = "Salicylic acid"
quantity = "2 % w/w"
role = "active"

[[ingredient]]
name = "Zinc oxide"
quantity = "10 % w/w"
role = "active"

[[ingredient]]
name = "White soft paraffin"
quantity = "to 100 g"
role = "base"
"""


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr("formulary.opening.default_location", lambda: tmp_path / "nowhere.db")
    path = tmp_path / "zs.toml"
    path.write_text(FORMULA, encoding="utf-8")
    return path


def test_json_names_rule_severity_sentence_citation_and_field(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["review", "--file", str(file), "--json"]) == DONE
    findings = json.loads(capsys.readouterr().out)["findings"]
    keys = {"rule", "severity", "sentence", "citation", "field"}
    assert all(set(each) == keys for each in findings)
    pair = next(each for each in findings if each["rule"] == "incompatible")
    assert pair["severity"] == "needs a reason"
    assert pair["field"] == "ingredient.1.name"
    assert "zinc salicylate" in pair["sentence"]
    assert pair["citation"].startswith("German formulary forum")


def test_for_people_each_finding_is_a_line_with_its_source(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["review", "--file", str(file)]) == DONE
    lines = capsys.readouterr().out.splitlines()
    place = next(i for i, line in enumerate(lines) if "incompatible" in line)
    assert "German formulary forum" in lines[place + 1]


def test_a_formula_of_the_house_is_reviewed_by_its_code(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = str(tmp_path / "sample.db")
    assert main(["sample", place, "--untouched"]) == DONE
    capsys.readouterr()
    assert main(["review", "CR-001", "--json", "--formulary", place]) == DONE
    findings = json.loads(capsys.readouterr().out)["findings"]
    assert {each["severity"] for each in findings} <= {"note"}
    assert main(["review", "PO-001", "--formulary", place]) == DONE
    assert capsys.readouterr().out.strip()
