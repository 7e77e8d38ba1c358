"""How long a formula lasts, from the command line."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from formulary.command_line import main

Ask = Callable[..., Any]


@pytest.fixture(scope="module")
def house(sample_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a copy of the sample pharmacy."""
    return Path(shutil.copy(sample_file, tmp_path_factory.mktemp("shelf-life")))


@pytest.fixture
def asked(house: Path, capsys: pytest.CaptureFixture[str]) -> Ask:
    """Return what the command answers in JSON."""

    def ask(*arguments: str) -> Any:  # noqa: ANN401  whatever JSON says
        assert main(["shelf-life", *arguments, "--json", "--formulary", str(house)]) == 0
        return json.loads(capsys.readouterr().out)

    return ask


def test_it_says_the_date_what_bound_it_every_limit_and_the_working(asked: Ask) -> None:
    found = asked("CR-003", "--made", "2026-03-10")
    assert (found["use_by"], found["kind"]) == ("2026-04-13", "rule")
    assert "35 days" in found["bound_by"]
    assert found["rule_set"]["code"] == "usp795-2023"
    assert [each["date"] for each in found["candidates"]] == ["2026-04-13", "2026-04-13"]
    assert all(set(each) >= {"limit", "date", "source"} for each in found["candidates"])
    assert "13 Apr 2026" in found["working"][-1].replace("\N{NO-BREAK SPACE}", " ")
    assert found["findings"] == []
    assert found["after_opening"] == "35\N{NO-BREAK SPACE}days".replace("\N{NO-BREAK SPACE}", " ")


def test_a_set_that_doesnt_hold_yet_is_said(asked: Ask) -> None:
    (finding,) = asked("CR-003", "--made", "2023-10-31")["findings"]
    assert finding["severity"] == "stop"
    assert "1 Nov 2023" in finding["sentence"].replace("\N{NO-BREAK SPACE}", " ")


def test_what_is_not_to_be_made_is_said_before_any_day(
    house: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["shelf-life", "CR-003", "--made", "2023-10-31", "--formulary", str(house)]) == 0
    first = capsys.readouterr().out.splitlines()[0]
    assert "not to be made like this" in first


def test_a_day_that_isnt_one_is_refused(house: Path, capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ["shelf-life", "CR-003", "--made", "31.3.2026", "--formulary", str(house)]
    assert main(arguments) != 0
    assert "2026-03-31" in capsys.readouterr().err


def test_no_formula_of_the_sample_has_a_stop_or_a_doubt(house: Path, asked: Ask) -> None:
    assert house.exists()
    for code in ("CR-001", "DR-001", "SU-002", "OI-002", "SO-003", "CAP-001", "LI-001", "SUP-001"):
        found = asked(code)
        assert found["findings"] == [], code
        assert found["made"] < found["use_by"]
