"""A furnished house, made once, for each run to work in a copy of it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.crash.busy_house import make_house


@pytest.fixture(scope="session")
def furnished_file(empty_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a house ready to work in, which no test opens itself."""
    path = Path(shutil.copy(empty_file, tmp_path_factory.mktemp("busy") / "busy.misce"))
    make_house(path)
    return path


@pytest.fixture
def house(furnished_file: Path, tmp_path: Path) -> Path:
    """Return the house of one test."""
    return Path(shutil.copy(furnished_file, tmp_path / "house.misce"))
