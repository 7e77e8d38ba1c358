"""The wheel, installed outside any clone, holds all that the program needs."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
import zipfile
from collections.abc import Sequence
from pathlib import Path

import pytest

from formulary import starting


def checked(command: Sequence[str | Path], folder: Path) -> str:
    """Run the command in the folder, apart from any clone, and return what it said."""
    environment = {k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", "PYTHONHOME")}
    done = subprocess.run(
        command, cwd=folder, env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("wheel")
    build: list[str | Path] = [
        sys.executable,
        "-m",
        "build",
        "--wheel",
        "--no-isolation",
        "--outdir",
        target,
    ]
    checked([*build, starting.CLONE], target)
    return next(target.glob("*.whl"))


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The Python of an environment with the wheel, and this one's libraries for all else."""
    folder = tmp_path_factory.mktemp("installed") / "env"
    checked([sys.executable, "-m", "venv", "--without-pip", folder], folder.parent)
    python = folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    pip: list[str | Path] = [sys.executable, "-m", "pip", "--python", python]
    checked([*pip, "install", "--no-deps", "--no-index", wheel], folder.parent)
    purelib = checked(
        [python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"], folder
    )
    # Only the folder's own packages: Python doesn't follow the .pth files in it to the clone.
    Path(purelib.strip(), "libraries.pth").write_text(sysconfig.get_path("purelib") + "\n")
    return python


def test_the_installed_program_finds_its_resources_and_its_sample(
    installed: Path, tmp_path: Path
) -> None:
    asked = (
        "from formulary import resources as r, starting; "
        "print(starting.in_clone()); "
        "print(r.resource_path('translations', 'en')); "
        "print(r.sample_path())"
    )
    in_clone, translations, sample = checked([installed, "-c", asked], tmp_path).splitlines()
    assert in_clone == "False"
    assert any(Path(translations).glob("*.toml"))
    assert any(Path(sample).iterdir())
    assert not Path(translations).is_relative_to(starting.CLONE / "resources")


def test_the_installed_command_makes_the_sample_pharmacy_and_finds_in_it(
    installed: Path, tmp_path: Path
) -> None:
    misce = installed.with_name("misce.exe" if os.name == "nt" else "misce")
    place = tmp_path / "sample.misce"
    assert "not for clinical use" in checked([misce, "sample", place], tmp_path)
    found = json.loads(checked([misce, "find", "zinc", "--json", "--formulary", place], tmp_path))
    assert "Zinc paste 25 %" in [formula["title"] for formula in found]
    exported = checked([misce, "export", "PA-001", "--formulary", place], tmp_path)
    assert exported.startswith("format = 1")


def test_the_wheel_holds_every_file_that_git_would_hold(wheel: Path) -> None:
    packed = set(zipfile.ZipFile(wheel).namelist())
    moved = {
        "formulary": "formulary",
        "ui": "ui",
        "resources": "formulary/_resources",
        "sample_db": "formulary/_sample_db",
    }
    expected = {
        f"{target}/{path.relative_to(starting.CLONE / source).as_posix()}"
        for source, target in moved.items()
        for path in (starting.CLONE / source).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert expected <= packed


def test_the_wheel_brings_no_other_top_level_name(wheel: Path) -> None:
    tops = {name.split("/")[0] for name in zipfile.ZipFile(wheel).namelist()}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"formulary", "ui"}
