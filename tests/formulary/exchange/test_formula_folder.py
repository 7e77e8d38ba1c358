"""A house's formulas as a folder of files."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.errors import BadText
from formulary.exchange.formula_folder import file_names, read_folder, write_folder
from tests.helpers.kept import a_content

SAFE = re.compile(r"[a-z0-9_-]+\.toml")
DEVICES = {"con", "prn", "aux", "nul", *(f"com{n}" for n in range(10))}


@given(st.lists(st.text(max_size=80), max_size=8))
def test_no_code_becomes_a_path_and_no_two_files_are_one(codes: list[str]) -> None:
    names = file_names(codes)
    assert len(set(names)) == len(codes)
    assert all(SAFE.fullmatch(name) for name in names)
    assert not DEVICES & {name.removesuffix(".toml") for name in names}


@pytest.mark.parametrize(
    ("code", "name"),
    [
        ("CR-010", "cr-010.toml"),
        ("../../etc/passwd", "etc_passwd.toml"),
        ("C:\\x", "c_x.toml"),
        ("NUL", "nul_.toml"),
        ("…", "formula.toml"),
    ],
)
def test_a_code_as_the_name_of_its_file(code: str, name: str) -> None:
    assert file_names([code]) == [name]


def test_what_is_written_is_read_back_and_a_bad_file_hides_no_other(tmp_path: Path) -> None:
    write_folder([a_content()], tmp_path)
    (tmp_path / "zz.toml").write_text("format = 1\nnothing = [", encoding="utf-8")
    (tmp_path / "notes.txt").write_text("left alone", encoding="utf-8")
    good, bad = read_folder(tmp_path)
    assert good.content == a_content()
    assert bad.name == "zz.toml"
    assert bad.trouble is not None


def test_a_folder_without_formulas_is_refused(tmp_path: Path) -> None:
    for place in (tmp_path, tmp_path / "nowhere"):
        with pytest.raises(BadText):
            read_folder(place)
