"""What the project's own files promise each other."""

from __future__ import annotations

import re
import tomllib

import pytest

from formulary import starting


def normal(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


@pytest.fixture(scope="module")
def pinned() -> set[str]:
    lines = (starting.CLONE / "constraints.txt").read_text().splitlines()
    return {normal(line.split("==")[0]) for line in lines}


def test_constraints_hold_nothing_but_pins() -> None:
    lines = (starting.CLONE / "constraints.txt").read_text().splitlines()
    assert [line for line in lines if not re.fullmatch(r"[\w.-]+==[\w.]+", line)] == []


def test_everything_required_is_pinned(pinned: set[str]) -> None:
    project = tomllib.loads((starting.CLONE / "pyproject.toml").read_text())["project"]
    required = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    names = {normal(re.split(r"[\[=<>~!;]", requirement)[0]) for requirement in required}
    assert names - pinned == set()


def test_a_distribution_that_shares_our_package_name_is_never_required(pinned: set[str]) -> None:
    assert pinned.isdisjoint({"formulary", "ui", "resources"})
