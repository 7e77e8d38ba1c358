"""Tables as they come from spreadsheets: read whole, or refused at their line and column."""

from __future__ import annotations

import io
import zipfile
from datetime import date

import openpyxl
import pytest

from formulary.command_line import sentence
from formulary.errors import BadText
from formulary.exchange.table_bounds import MOST_COLUMNS, MOST_ROWS
from formulary.exchange.table_file import rows_of_bytes, template

COLUMNS = ("name", "latin", "density", "note")


def read(data: bytes | str, sign: str = ".") -> list[tuple[int, str, dict[str, str]]]:
    if isinstance(data, str):
        data = data.encode()
    found = rows_of_bytes(data, COLUMNS, "name", sign)
    return [(each.line, each.name, dict(each.texts)) for each in found]


def trouble_with(data: bytes | str) -> BadText:
    with pytest.raises(BadText) as caught:
        read(data)
    assert sentence(caught.value)
    return caught.value


def sheet(*rows: list[object]) -> bytes:
    book = openpyxl.Workbook()
    assert book.active is not None
    for row in rows:
        book.active.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


@pytest.mark.parametrize("mark", ["", "\N{ZERO WIDTH NO-BREAK SPACE}"])
@pytest.mark.parametrize("parted_by", [",", ";"])
def test_comma_or_semicolon_with_or_without_a_mark(parted_by: str, mark: str) -> None:
    text = f"{mark}name,note\r\nWater,\r\n\r\nOil,clear\r\n".replace(",", parted_by)
    assert read(text) == [
        (2, "Water", {"name": "Water"}),
        (4, "Oil", {"name": "Oil", "note": "clear"}),
    ]


def test_a_row_over_several_lines_is_called_by_its_first() -> None:
    assert [line for line, *_ in read('name,note\nWater,"a\nb"\nOil,\n')] == [2, 4]


def test_the_template_takes_every_column_and_has_no_row() -> None:
    assert read(template(COLUMNS, "empty.csv").decode("utf-8-sig")) == []


@pytest.mark.parametrize(
    ("text", "line", "field"),
    [
        ("", 1, "name"),
        ("latin\nx\n", 1, "name"),
        ("name,colour\nx,y\n", 1, "colour"),
        ("name,note,note\nx,y,z\n", 1, "note"),
        ("name,note\nx,y,z\n", 2, None),
        ('name,note\na,b\nx,"y\n', 3, None),
        ("name,note\nx," + "y" * 5000 + "\n", 2, "note"),
        ("name\n" + "x\n" * (MOST_ROWS + 1), MOST_ROWS + 2, None),
    ],
)
def test_where_a_table_is_wrong_is_said(text: str, line: int, field: str | None) -> None:
    trouble = trouble_with(text)
    assert (trouble.line, trouble.field) == (line, field)


def test_a_line_that_is_no_utf_8_is_named() -> None:
    assert trouble_with(b"name\nWater\nGlyc\xe9rol\n").line == 3


@pytest.mark.parametrize("sign", [".", ","])
def test_a_spreadsheet_gives_the_texts_that_somebody_would_type(sign: str) -> None:
    data = sheet(
        ["name", "latin", "note", "density"],
        [4711, 0.1, date(2028, 3, 31), None],
        [None] * 4,
        ["x", True, False, None],
    )
    assert read(data, sign) == [
        (2, "4711", {"name": "4711", "latin": f"0{sign}1", "note": "2028-03-31"}),
        (4, "x", {"name": "x", "latin": "yes", "note": "no"}),
    ]


def test_a_formula_of_the_spreadsheet_is_refused_and_never_worked_out() -> None:
    trouble = trouble_with(sheet(["name", "note"], ["x", "=1+1"]))
    assert (trouble.line, trouble.field) == (2, "B")


def test_a_zip_bomb_is_refused_before_it_is_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("xl/workbook.xml", b"\0" * 40_000_000)
    monkeypatch.setattr(openpyxl, "load_workbook", lambda *_, **__: pytest.fail("it was opened"))
    monkeypatch.setattr(zipfile.ZipFile, "open", lambda *_: pytest.fail("it was unpacked"))
    assert trouble_with(out.getvalue()).message.key == "exchange.table.unpacks"


def changed(data: bytes, part: str, before: bytes, after: bytes) -> bytes:
    """Return the file with something else in one of its parts."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            text = old.read(name)
            assert name != part or before in text
            new.writestr(name, text.replace(before, after) if name == part else text)
    return out.getvalue()


def test_entities_in_a_sheet_are_refused() -> None:
    data = sheet(["name"], [1])
    bomb = b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">]><worksheet'
    spoilt = changed(data, "xl/worksheets/sheet1.xml", b"<worksheet", bomb)
    assert trouble_with(spoilt).message.key == "exchange.table.not_xlsx"


def test_a_sheet_that_says_it_has_a_million_rows_and_columns_is_read_to_its_bounds() -> None:
    far = changed(sheet(["name"], [7]), "xl/worksheets/sheet1.xml", b'"A1:A2"', b'"A1:XFD1048576"')
    assert read(far) == [(2, "7", {"name": "7"})]
    wide = sheet(["name", *[None] * (MOST_COLUMNS + 5), "note"], ["x"])
    assert read(wide) == [(2, "x", {"name": "x"})]


def test_what_only_looks_like_a_spreadsheet_is_refused() -> None:
    assert trouble_with(b"PK\x03\x04" + b"nothing").message.key == "exchange.table.not_xlsx"
