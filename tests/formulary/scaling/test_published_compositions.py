"""Compositions that pharmacopoeias and formularies published, scaled as worked out by hand."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from formulary.exchange.formula_text import read_formula_file
from formulary.formula.kinds import Fixed, InParts, PerUnit, Share, ToEndPoint, ToTotal
from formulary.quantity import units
from formulary.quantity.amount import Amount, OneIn
from formulary.scaling.masses import mass_of_line
from formulary.scaling.plan import PlannedLine
from tests.helpers.formulas import amount, scaled

FOLDER = Path(__file__).parents[2] / "published"
NAMES = sorted(path.name.removesuffix(".lines.toml") for path in FOLDER.glob("*.lines.toml"))
MARK = "to "


def _worked_out(name: str) -> dict[str, Any]:
    return tomllib.loads((FOLDER / f"{name}.lines.toml").read_text(encoding="utf-8"))


CASES = [(name, size) for name in NAMES for size in _worked_out(name)["at"]]


@pytest.mark.parametrize(("name", "size"), CASES, ids=[f"{n}-{s['target']}" for n, s in CASES])
def test_every_line_is_the_one_worked_out_by_hand(name: str, size: dict[str, Any]) -> None:
    plan = scaled(read_formula_file(FOLDER / f"{name}.toml"), size["target"])
    assert [each.line.ingredient for each in plan.lines] == [e["ingredient"] for e in size["line"]]
    for line, expected in zip(plan.lines, size["line"], strict=True):
        _check(line, expected)


def _check(line: PlannedLine, expected: dict[str, str]) -> None:
    wanted = expected["required"]
    assert line.up_to == wanted.startswith(MARK), line.line.ingredient
    exact = amount(wanted.removeprefix(MARK))
    assert line.required is not None
    assert _as_in(line, exact).to(exact.unit) == exact, line.line.ingredient
    if "as_written" in expected:
        written = amount(expected["as_written"])
        assert line.required.to(written.unit) == written, line.line.ingredient


def _as_in(line: PlannedLine, exact: Amount) -> Amount:
    """Return what is required as a mass, where the hand's sum says a mass."""
    assert line.required is not None
    if units.dimension(exact.unit) == units.dimension(line.required.unit):
        return line.required
    return mass_of_line(line.line, line.required).result


def test_there_are_at_least_twelve_each_at_two_sizes_with_a_source() -> None:
    assert len(NAMES) >= 12
    for name in NAMES:
        worked_out = _worked_out(name)
        assert len(worked_out["at"]) >= 2, name
        assert worked_out["source"], name
        assert all(size["by_hand"] for size in worked_out["at"]), name


def test_every_formula_file_has_its_lines_worked_out() -> None:
    formulas = {path.name.removesuffix(".toml") for path in FOLDER.glob("*.toml")}
    assert {name for name in formulas if not name.endswith(".lines")} == set(NAMES)


def test_together_they_have_every_kind_of_quantity() -> None:
    kinds = [
        line.quantity for name in NAMES for line in read_formula_file(FOLDER / f"{name}.toml").lines
    ]
    fixed = [kind for kind in kinds if isinstance(kind, Fixed)]
    assert {units.dimension(kind.amount.unit).value for kind in fixed} >= {
        "mass",
        "volume",
        "drops",
    }
    assert any(kind.each for kind in fixed)
    shares = [kind.strength for kind in kinds if isinstance(kind, Share)]
    assert any(isinstance(strength, OneIn) for strength in shares)
    assert {strength.unit for strength in shares if not isinstance(strength, OneIn)} >= {
        "% w/w",
        "% w/v",
        "% v/v",
        "mg/mL",
        "international unit/g",
    }
    totals = [kind for kind in kinds if isinstance(kind, ToTotal)]
    assert {(units.dimension(kind.total.unit).value, kind.shared) for kind in totals} == {
        ("mass", False),
        ("mass", True),
        ("volume", False),
        ("volume", True),
    }
    for kind_of in (InParts, PerUnit, ToEndPoint):
        assert any(isinstance(kind, kind_of) for kind in kinds), kind_of
