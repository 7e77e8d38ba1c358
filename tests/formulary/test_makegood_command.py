"""``misce makegood``: lines in, what is still to add out."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest

from formulary.command_line import main

LINES: list[dict[str, Any]] = [
    {"name": "Base", "target": "120 g"},
    {"name": "Water", "target": {"amount": "24", "unit": "g"}},
    {"name": "Urea", "target": "6 g", "actual": "6.48 g"},
    {"name": "Ointment", "target": "50 g"},
]


@pytest.fixture(autouse=True)
def nowhere(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Keep the test away from any formulary that there may be."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))


def run(monkeypatch: pytest.MonkeyPatch, given: object, *more: str) -> int:
    text = given if isinstance(given, str) else json.dumps(given)
    monkeypatch.setattr("sys.stdin", io.StringIO(text))
    return main(["makegood", *more])


def answer(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], given: object
) -> dict[str, Any]:
    assert run(monkeypatch, given, "--json") == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


def test_the_batch_follows_its_overweighed_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    found = answer(monkeypatch, capsys, {"lines": LINES, "ordered": "180 g"})
    assert found["factor"] == "1.08"
    assert [each["name"] for each in found["lines"]] == [each["name"] for each in LINES]
    assert [each["target"]["amount"] for each in found["lines"]] == ["129.6", "25.92", "6.48", "54"]
    assert [each["to_add"]["amount"] for each in found["lines"]] == ["129.6", "25.92", "0", "54"]
    assert found["total"] == {"amount": "216", "unit": "g"}
    assert found["surplus"] == {"amount": "36", "unit": "g"}


def test_numbers_of_the_input_never_become_floats(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = [{"name": "A", "target": {"amount": 0.1, "unit": "g"}, "actual": "0.3 g"}]
    assert answer(monkeypatch, capsys, {"lines": lines})["factor"] == "3"


def test_a_factor_without_end_stands_exact_beside_its_decimals(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = [{"name": "A", "target": "3 g", "actual": "3.1 g"}, {"name": "B", "target": "1 g"}]
    found = answer(monkeypatch, capsys, {"lines": lines})
    assert found["factor_exact"] == "31/30"
    again = {"lines": [{"name": "B", "target": found["lines"][1]["target"]}]}
    assert answer(monkeypatch, capsys, again)["lines"][0]["target"]["exact"] == "31/30"


def test_without_json_the_working_is_read(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, {"lines": LINES}) == 0
    assert "Most over is Urea" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("given", "place"),
    [
        ("nonsense", ""),
        ("[" * 100_000, ""),
        ("[]", ""),
        ({"lines": []}, "lines"),
        ({"lines": [{"target": "6 g"}]}, "lines 1, name"),
        ({"lines": [{"name": "A"}]}, "lines 1, target"),
        ({"lines": [{"name": "A", "target": "6"}]}, "lines 1, target"),
        ({"lines": [{"name": "A", "target": "6 g", "actual": "1e9 g"}]}, "lines 1, actual"),
        ({"lines": [{"name": "A", "target": {"amount": 6, "unit": "u"}}]}, "lines 1, target"),
        ({"lines": [{"name": "A", "target": {"amount": 1e99, "unit": "g"}}]}, "lines 1, target"),
        ({"lines": [{"name": "A", "target": "6 g", "weighed": "6 g"}]}, "lines 1, weighed"),
        ({"lines": [{"name": "A", "target": "0 g"}]}, "A"),
        ({"lines": [{"name": "A", "target": "6 g", "actual": "6 mL"}]}, "A"),
    ],
)
def test_what_cannot_be_read_is_a_sentence_that_says_where(
    given: object,
    place: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(monkeypatch, given) == 1
    said = capsys.readouterr().err.strip()
    assert said.startswith(place)
    assert said.endswith(".")
    assert "Traceback" not in said
