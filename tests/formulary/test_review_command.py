"""``misce review``: findings as data and as sentences, of a file and of a formula of the house."""

from __future__ import annotations

import json
from argparse import Namespace
from pathlib import Path

import pytest

from formulary.catalogue import Catalogue
from formulary.command_line import DONE, main
from formulary.command_review import asked
from formulary.desk import Desk
from formulary.formula.content import Role
from formulary.review.house_rules import HouseRule
from formulary.store import Store
from formulary.verbs.review_formula import add_house_rule, override_finding, review_version
from formulary.verbs.write_version import write_version
from tests.formulary.review.cases import a_cream
from tests.helpers.desks import ADA, BEN, PIN, a_desk, at, furnished
from tests.helpers.formulas import a_line, active
from tests.helpers.memory_store import MemoryStore

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


def test_a_signed_reason_is_told_from_one_that_is_still_needed() -> None:
    store: Store = MemoryStore()
    desk = a_desk(furnished(store))
    fat = a_line("White soft paraffin", "to 100 g", Role.BASE)
    content = a_cream(active("Salicylic acid", "2 g"), active("Zinc oxide", "10 g"), fat)
    version = write_version(at(desk, ADA), content)
    sieve = HouseRule("r1", "lumps in May", ("Zinc oxide",), sentence="Sieve it twice.")
    add_house_rule(at(desk, BEN), sieve, PIN)
    waiting = lines_of(desk, content.code)
    assert sum(each.startswith("Needs a reason") for each in waiting) > 1
    found = next(e for e in review_version(desk, version).open if e.rule == "incompatible")
    override_finding(at(desk, BEN), version.id, found, "fatty base", PIN)
    lines = lines_of(desk, content.code)
    assert any(e.startswith("Its reason is given") and "[incompatible" in e for e in lines)
    house = next(each for each in lines if "Sieve it twice." in each)
    assert "[rule of the house, ingredient." in house
    assert not any("not stated" in each for each in lines)


def lines_of(desk: Desk, code: str) -> list[str]:
    return asked(desk, Namespace(file=None, formula=code), Catalogue("en"))[1]
