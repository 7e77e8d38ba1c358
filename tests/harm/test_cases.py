"""Every published case has its tests and says what stops it, or has its reason."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from tests.practice.test_rows import is_there

CASES: list[dict[str, Any]] = tomllib.loads(
    (Path(__file__).parent / "cases.toml").read_text(encoding="utf-8")
)["case"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["number"])
def test_a_case_names_its_source_and_what_stops_it_or_why_nothing_needs_to(
    case: dict[str, Any],
) -> None:
    assert case["case"].strip()
    assert case["source"].strip()
    assert ("tests" in case) != ("reason" in case)
    assert ("stopped_by" in case) == ("tests" in case)
    assert [each for each in case.get("tests", ()) if not is_there(each)] == []


def test_no_case_is_listed_twice_and_every_replay_is_listed() -> None:
    numbers = [case["number"] for case in CASES]
    assert len(numbers) == len(set(numbers))
    listed = {each.partition("::")[2] for case in CASES for each in case.get("tests", ())}
    replays = {
        line.partition("(")[0].removeprefix("def ")
        for path in Path(__file__).parent.glob("test_*.py")
        for line in path.read_text(encoding="utf-8").splitlines()
        if line.startswith("def test_10_")
    }
    assert replays <= listed, replays - listed
