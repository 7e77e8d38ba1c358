"""The house's layouts of labels from the command line."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from formulary.command_line import main
from formulary.exchange.sample_house import sample_pins

Ask = Callable[..., Any]


@pytest.fixture
def asked(
    sample_file: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> Ask:
    """Return what a command answers in JSON."""
    house = Path(shutil.copy(sample_file, tmp_path / "house.misce"))
    (_, _, pin), *_ = sample_pins()
    monkeypatch.setenv("MISCE_PIN", pin)

    def ask(*arguments: str, code: int = 0) -> Any:  # noqa: ANN401  whatever JSON says
        assert main([*arguments, "--json", "--formulary", str(house)]) == code
        return json.loads(capsys.readouterr().out or "null")

    return ask


def test_a_layout_goes_out_to_a_file_and_comes_back_changed(asked: Ask, tmp_path: Path) -> None:
    assert asked("layout") == []
    begun = asked("layout", "70x35", "--begin")
    assert (begun["stock"], begun["state"]) == ("70x35", "draft")
    path = tmp_path / "mine.toml"
    asked("layout", "70x35", "--out", str(path))
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace('code = "70x35"', 'code = "mine"'), encoding="utf-8")
    kept = asked("layout", "--file", str(path))
    assert kept["stock"] == "mine"
    assert {each["stock"] for each in asked("layout")} == {"70x35", "mine"}


def test_a_layout_is_put_in_use_and_taken_out_again(asked: Ask) -> None:
    asked("layout", "100x70", "--begin")
    assert asked("layout", "100x70", "--use")["state"] == "in_use"
    assert [each["state"] for each in asked("layout")] == ["in_use"]
    assert asked("layout", "100x70", "--end")["state"] == "ended"


def test_a_trial_label_is_drawn_by_the_layout_in_use(asked: Ask, tmp_path: Path) -> None:
    out = tmp_path / "label.pdf"
    ask = ("label", "CR-003", "--trial", "--to", "60 g", "--stock", "100x70", "--out", str(out))
    asked(*ask)
    before = out.stat().st_size
    asked("layout", "100x70", "--begin")
    asked("layout", "100x70", "--use")
    asked(*ask)
    assert out.stat().st_size != before
