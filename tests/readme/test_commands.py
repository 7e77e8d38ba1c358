"""A newcomer types what the two texts show; here each line of them is run."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from formulary.command_line import main

CLONE = Path(__file__).resolve().parents[2]
RUNS_EVERYTHING = ("python3 -m tests", "bash .ci/run", "python3 -m tests --full")
"""Would run this very test again: of these only the beginning is run."""
EXPORT = "export "
PROGRAM = "python3 -m formulary "
IN_A_PROCESS = 3
"""So many are started as typed; of the rest, what comes after the program’s name is run."""
MEASURES = ("python3 -m tests.bench",)
"""Takes minutes and passes or fails nothing."""


def commands_of(page: str) -> list[str]:
    """Return the lines of a page's shell blocks, without their comments."""
    text = (CLONE / page).read_text(encoding="utf-8")
    blocks = re.findall(r"```sh\n(.*?)```", text, re.DOTALL)
    lines = [line.partition("#")[0].strip() for block in blocks for line in block.splitlines()]
    return [line for line in lines if line]


def run(command: str, folder: Path, **more: str) -> subprocess.CompletedProcess[str]:
    """Run a shown command in an empty folder with this Python and without a screen."""
    words = shlex.split(command)
    if words[0] == "python3":
        words[0] = sys.executable
    environment = {**os.environ, "PYTHONPATH": str(CLONE), **more}
    for screen in ("DISPLAY", "WAYLAND_DISPLAY"):
        environment.pop(screen, None)
    return subprocess.run(
        words, cwd=folder, env=environment, capture_output=True, text=True, check=False
    )


def test_the_tour_without_a_window_works_as_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    shown = commands_of("README.md")
    tour = [line for line in shown if line.startswith((PROGRAM, EXPORT))]
    assert len(tour) >= 6
    monkeypatch.chdir(tmp_path)
    begun = 0
    for command in tour:
        if command.startswith(EXPORT):
            name, _, value = command.removeprefix(EXPORT).partition("=")
            monkeypatch.setenv(name, value)
            continue
        begun += 1
        if begun <= IN_A_PROCESS:
            done = run(command, tmp_path)
            code, said = done.returncode, done.stderr
        else:
            code = main(shlex.split(command.removeprefix(PROGRAM)))
            said = capsys.readouterr().err
        assert code == 0, f"{command}\n{said}"
        assert "Traceback" not in said
    assert (tmp_path / "trial.pdf").read_bytes().startswith(b"%PDF")
    assert "Urea" in (tmp_path / "urea-cream.toml").read_text(encoding="utf-8")


def test_the_first_command_without_a_screen_says_what_works(tmp_path: Path) -> None:
    done = run("python3 -m formulary", tmp_path, QT_QPA_PLATFORM="")
    assert done.returncode == 1
    assert "find TEXT" in done.stderr
    assert "--picture" in done.stderr


def test_the_picture_that_the_readme_offers_is_drawn(tmp_path: Path) -> None:
    done = run("python3 -m formulary --picture window.png", tmp_path)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "window.png").read_bytes().startswith(b"\x89PNG")


def test_the_second_command_sets_up(tmp_path: Path) -> None:
    assert "python3 -m tests" in commands_of("README.md")
    done = run("python3 -m tests --setup-only", tmp_path)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md"])
def test_every_shown_command_is_one_that_is_run_here(page: str) -> None:
    run_here = (EXPORT, "python3 -m formulary", "python3 -m tests --setup-only", *RUNS_EVERYTHING)
    assert commands_of(page)
    for command in commands_of(page):
        assert command.startswith(run_here) or command in MEASURES, command


def test_the_ci_script_is_valid_bash() -> None:
    done = subprocess.run(["bash", "-n", str(CLONE / ".ci" / "run")], check=False)
    assert done.returncode == 0
