"""The formulas of a house as a folder of formula files, one for each."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from pathlib import Path

from formulary.errors import BadText
from formulary.exchange.formula_text import read_formula_file, write_formula
from formulary.formula.content import Content
from formulary.messages import message
from formulary.taking_over import FormulaFile

ENDING = ".toml"
MOST_FILES = 1000
_LONGEST_NAME = 60
_DEVICES = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])")


def write_folder(contents: Sequence[Content], folder: Path) -> None:
    """Write a file for each formula into a folder that is there and empty."""
    for name, content in zip(file_names(each.code for each in contents), contents, strict=True):
        (folder / name).write_text(write_formula(content), encoding="utf-8")


def file_names(codes: Iterable[str]) -> list[str]:
    """Return a file's name for each code: letters, digits, - and _ alone, none of them twice.

    So no code leads out of the folder, and none is a device on any system.
    """
    names: list[str] = []
    for code in codes:
        plain = re.sub(r"[^A-Za-z0-9_-]+", "_", code)[:_LONGEST_NAME].strip("_").lower()
        name = f"{plain}_" if _DEVICES.fullmatch(plain) else plain or "formula"
        names.append(_not_among(names, name))
    return names


def _not_among(names: Sequence[str], name: str) -> str:
    number, found = 1, f"{name}{ENDING}"
    while found in names:
        number += 1
        found = f"{name}-{number}{ENDING}"
    return found


def read_folder(folder: Path) -> list[FormulaFile]:
    """Return the formula files that lie in a folder itself, by name; others are left alone.

    Where it is one file, that is it.

    Raises :class:`formulary.errors.BadText` for a folder that can't be read, or holds none or too
    many; what is wrong with one file is said with it.
    """
    if folder.is_file():
        return [_file(folder)]
    try:
        found = sorted(each for each in folder.iterdir() if _is_formula(each))
    except OSError as error:
        why = error.strerror or ""
        raise BadText(message("formula.file.unreadable", path=str(folder), why=why)) from error
    if not 0 < len(found) <= MOST_FILES:
        key = "too_many" if found else "empty"
        raise BadText(message(f"exchange.folder.{key}", place=str(folder), most=MOST_FILES))
    return [_file(each) for each in found]


def _is_formula(path: Path) -> bool:
    return path.suffix.lower() == ENDING and path.is_file()


def _file(path: Path) -> FormulaFile:
    try:
        return FormulaFile(path.name, read_formula_file(path))
    except BadText as trouble:
        return FormulaFile(path.name, None, trouble)
