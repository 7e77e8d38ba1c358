"""The cases of a file of check values beside this one."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any


def cases(name: str) -> list[dict[str, Any]]:
    """Return the cases of a file; each names its source."""
    path = Path(__file__).with_name(f"{name}.toml")
    found: list[dict[str, Any]] = tomllib.loads(path.read_text(encoding="utf-8"))["case"]
    return found


def case(name: str, case_id: str) -> dict[str, Any]:
    """Return one case of a file."""
    return next(each for each in cases(name) if each["id"] == case_id)
