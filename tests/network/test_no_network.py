"""The program speaks to no other computer, unless its formulary is on a server."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtGui import QImage

CLONE = Path(__file__).resolve().parents[2]
REFUSING = Path(__file__).parent / "refusing"
SERVER = "postgresql+psycopg://nobody@127.0.0.1:9/nothing"
MISCE = ["-c", "import sys; from formulary.command_line import main; sys.exit(main())"]
DRIVER = """
import sys
from formulary.command_line import main
for line in sys.stdin:
    words = line.split()
    print(words[0], main(words), file=sys.stderr)
"""
VERBS = """
sample house.misce --untouched
find zinc --formulary house.misce
show CR-001 --formulary house.misce
review CR-001 --formulary house.misce
scale CR-001 --to 100g --formulary house.misce
prepare CR-002 --to 100g --formulary house.misce
label --trial CR-001 --to 100g --out label.pdf --formulary house.misce
worksheet CR-001 --to 100g --out sheet.pdf --formulary house.misce
paper stock --out stock.pdf --formulary house.misce
stock --formulary house.misce
register --formulary house.misce
export --formulas --out formulas --formulary house.misce
import formulas --look --formulary house.misce
import --lots --template lots.csv
import --lots lots.csv --formulary house.misce
backup --formulary house.misce
verify --formulary house.misce
calculate --list
balance --list --formulary house.misce
licences
"""


@pytest.fixture
def tried(tmp_path: Path) -> Path:
    """Return the file in which it stands what was tried."""
    return tmp_path / "tried.txt"


def run(
    words: list[str], folder: Path, tried: Path, given: str = ""
) -> subprocess.CompletedProcess[str]:
    """Run this Python where whatever reaches out is refused."""
    environment = os.environ | {
        "PYTHONPATH": os.pathsep.join((str(REFUSING), str(CLONE))),
        "QT_QPA_PLATFORM": "offscreen",
        "MISCE_TRIED": str(tried),
        "MISCE_PIN": "3141",
    }
    return subprocess.run(
        [sys.executable, *words],
        cwd=folder,
        env=environment,
        input=given,
        capture_output=True,
        text=True,
        check=False,
    )


def what_was_tried(tried: Path) -> list[str]:
    return tried.read_text(encoding="utf-8").splitlines() if tried.exists() else []


def test_whoever_reaches_out_would_be_seen(tmp_path: Path, tried: Path) -> None:
    reaching = "import socket; socket.create_connection(('127.0.0.1', 9))"
    assert "PermissionError" in run(["-c", reaching], tmp_path, tried).stderr
    assert len(what_was_tried(tried)) == 1


def test_no_command_reaches_out(tmp_path: Path, tried: Path) -> None:
    done = run(["-c", DRIVER], tmp_path, tried, VERBS.strip())
    assert done.returncode == 0, done.stderr
    codes = [line.split() for line in done.stderr.splitlines() if line[-2:] in (" 0", " 1", " 2")]
    assert [name for name, code in codes if code == "0"] == [
        line.split()[0] for line in VERBS.strip().splitlines()
    ], done.stderr
    assert what_was_tried(tried) == []


def test_the_window_does_not_reach_out(tmp_path: Path, tried: Path) -> None:
    done = run([*MISCE, "--picture", "window.png", "--size", "1024x700"], tmp_path, tried)
    assert done.returncode == 0, done.stderr
    drawn = QImage(str(tmp_path / "window.png"))
    assert (drawn.width(), drawn.height()) == (1024, 700)
    assert what_was_tried(tried) == []


def test_a_server_is_asked_only_where_its_address_is_given(tmp_path: Path, tried: Path) -> None:
    done = run([*MISCE, "find", "zinc", "--formulary", SERVER], tmp_path, tried)
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    assert what_was_tried(tried) == ["loaded psycopg"]
