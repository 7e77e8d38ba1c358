"""Where the files that come with Misce lie: in the clone, or inside the installed package."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def resource_path(*parts: str) -> Path:
    """Return the path of a font, icon, table or translation, such as ``("tables", "x.toml")``."""
    return _shipped("resources").joinpath(*parts)


def sample_path(*parts: str) -> Path:
    """Return the path of a file of the sample pharmacy."""
    return _shipped("sample_db").joinpath(*parts)


def _shipped(folder: str) -> Path:
    """Return the folder as the wheel holds it, else as the clone does."""
    packed = _PACKAGE / f"_{folder}"
    return packed if packed.is_dir() else _PACKAGE.parent / folder
