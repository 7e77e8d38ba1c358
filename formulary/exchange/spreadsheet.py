"""The first sheet of an XLSX file as lines of texts; nothing in it is worked out or followed.

XLSX is a ZIP file of XML parts (ECMA-376). What it says it unpacks to is judged before any part is,
and no part is read beyond what it says. A cell that holds a formula is refused: its figure is what
some program once made of it. openpyxl refuses entities in XML where defusedxml is there.
"""

from __future__ import annotations

import io
import warnings
import zipfile
from collections.abc import Iterable, Iterator
from datetime import date, datetime
from typing import Any

from formulary.errors import BadText
from formulary.exchange.table_bounds import (
    LARGEST_UNPACKED,
    MOST_COLUMNS,
    MOST_PARTS,
    MOST_ROWS,
    MOST_TIMES,
)
from formulary.messages import message

_MOST_LINES = MOST_ROWS * 2
"""Empty ones between count too."""


def lines_of_spreadsheet(data: bytes, sign: str) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Yield the lines that hold anything, with numbers in the decimal sign of the house.

    Raises :class:`formulary.errors.BadText` for what isn't such a file, or is too large.
    """
    _require_small(data)
    yield from _read(data, sign)


def empty_spreadsheet(columns: Iterable[str]) -> bytes:
    """Return a sheet with the names of the columns and nothing below."""
    import openpyxl

    book, written = openpyxl.Workbook(write_only=True), io.BytesIO()
    book.create_sheet().append(list(columns))
    book.save(written)
    return written.getvalue()


def _require_small(data: bytes) -> None:
    """Judge by the list of parts alone. Raises BadText."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as parts:
            sizes = [part.file_size for part in parts.infolist()]
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OSError) as error:
        raise BadText(message("exchange.table.not_xlsx")) from error
    most = min(LARGEST_UNPACKED, max(len(data) * MOST_TIMES, MOST_TIMES))
    if len(sizes) > MOST_PARTS or sum(sizes) > most:
        raise BadText(message("exchange.table.unpacks", n=LARGEST_UNPACKED // 1024**2))


def _read(data: bytes, sign: str) -> Iterator[tuple[int, tuple[str, ...]]]:
    import openpyxl

    try:
        with warnings.catch_warnings():
            # It warns of styles and charts that it leaves out; only texts are wanted.
            warnings.simplefilter("ignore")
            book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, keep_links=False)
            sheet = book.worksheets[0]
            for line, cells in enumerate(
                sheet.iter_rows(max_row=_MOST_LINES, max_col=MOST_COLUMNS), start=1
            ):
                texts = tuple(_text(cell, sign, line) for cell in cells)
                if any(texts):
                    yield line, texts
    except BadText:
        raise
    except Exception as error:  # what a spoilt file raises in the library isn't told anywhere
        raise BadText(message("exchange.table.not_xlsx")) from error


def _text(cell: Any, sign: str, line: int) -> str:  # noqa: ANN401  its kinds share no name
    """Return a cell as somebody would type it."""
    value, kind = cell.value, cell.data_type
    if kind == "f":
        raise BadText(message("exchange.table.formula"), line=line, field=cell.column_letter)
    if kind == "e":
        said = message("exchange.table.error", typed=str(value))
        raise BadText(said, line=line, field=cell.column_letter)
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case float():
            # The shortest text that is this number, as the spreadsheet shows it.
            return repr(value).replace(".", sign)
        case datetime():
            return value.date().isoformat()
        case date():
            return value.isoformat()
        case _:
            return str(value)
