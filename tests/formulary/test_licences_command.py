"""``misce licences``: each library has a licence, and the one version that was tried."""

from __future__ import annotations

import json
import re

import pytest

from formulary.command_licences import libraries
from formulary.command_line import main
from formulary.starting import CLONE


def normal(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def test_each_library_says_its_licence(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["licences", "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert [each["name"] for each in said if not each["licence"]] == []
    assert all(len(each["licence"]) < 100 for each in said)


def test_what_is_required_by_the_way_is_listed_too() -> None:
    names = {normal(each.name) for each in libraries()}
    # Of psycopg and reportlab a part was asked for; openpyxl and SQLAlchemy need others.
    assert {"psycopg-binary", "rl-accel", "et-xmlfile", "typing-extensions"} <= names
    assert not names & {"pytest", "mypy", "misce"}


def test_each_library_is_pinned_to_the_version_that_is_here() -> None:
    lines = (CLONE / "constraints.txt").read_text(encoding="utf-8").splitlines()
    pinned = {normal(line.split("==")[0]): line.split("==")[1] for line in lines}
    here = {normal(each.name): each.version for each in libraries()}
    assert {name: pinned.get(name) for name in here} == here
