"""A table of ingredients or lots: CSV or XLSX, its first row the names of columns.

What is read is text alone; which columns there are is for the caller to say.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TypeAlias

from formulary.errors import BadText
from formulary.exchange.table_bounds import LARGEST_BYTES, MOST_COLUMNS, MOST_ROWS
from formulary.messages import message
from formulary.taking_over import TableRow

Cells: TypeAlias = Sequence[str]
_ZIP = b"PK\x03\x04"
_LONGEST_CELL = 4000


def read_table(path: Path, columns: Sequence[str], called_by: str, sign: str) -> list[TableRow]:
    """Return the rows of a table on disk; see :func:`rows_of_bytes`."""
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise BadText(message("exchange.table.too_large", n=LARGEST_BYTES // 1024**2))
        data = path.read_bytes()
    except OSError as error:
        why = error.strerror or ""
        raise BadText(message("formula.file.unreadable", path=str(path), why=why)) from error
    return rows_of_bytes(data, columns, called_by, sign)


def rows_of_bytes(data: bytes, columns: Sequence[str], called_by: str, sign: str) -> list[TableRow]:
    """Return the rows that hold anything, each with the texts of the columns that aren't empty.

    ``columns`` are those that may stand in it; each row is called by what stands under
    ``called_by``. ``sign`` is the decimal sign of the house, in which a number of a spreadsheet is
    given as text. Raises :class:`formulary.errors.BadText` with line, column and sentence.
    """
    lines = _spreadsheet(data, sign) if data.startswith(_ZIP) else _lines_of_csv(data)
    _, head = next(lines, (1, ()))
    names = _head(head, columns, called_by)
    return [*_rows(lines, names, called_by)]


def template(columns: Iterable[str], file: str) -> bytes:
    """Return a table with the names of the columns and nothing below, as its file's ending asks.

    As text it has a byte order mark: spreadsheets take one without for another encoding.
    """
    if file.casefold().endswith(".xlsx"):
        from formulary.exchange.spreadsheet import empty_spreadsheet

        return empty_spreadsheet(columns)
    text = "\N{ZERO WIDTH NO-BREAK SPACE}" + ",".join(columns) + "\r\n"
    return text.encode()


def _spreadsheet(data: bytes, sign: str) -> Iterator[tuple[int, Cells]]:
    # Loaded only for a spreadsheet.
    from formulary.exchange.spreadsheet import lines_of_spreadsheet

    return lines_of_spreadsheet(data, sign)


def _lines_of_csv(data: bytes) -> Iterator[tuple[int, Cells]]:
    """Yield the lines that hold anything, parted by the comma or semicolon that the first has."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise BadText(message("exchange.table.not_utf8"), line=line) from error
    parted_by = ";" if ";" in text.partition("\n")[0] else ","
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=parted_by, strict=True)
    line = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield line, cells
            line = reader.line_num + 1
    except csv.Error as error:
        raise BadText(message("exchange.table.not_csv"), line=line) from error


def _head(cells: Cells, columns: Sequence[str], called_by: str) -> list[str]:
    """Return the columns' names in the order of the table. Raises BadText for an unknown one."""
    names = [cell.strip().casefold() for cell in cells]
    while names and not names[-1]:
        names.pop()
    for number, name in enumerate(names, start=1):
        if name not in columns:
            said = message("exchange.table.column", n=number, columns=tuple(columns))
            raise BadText(said, line=1, field=name[:40] or None)
        if name in names[: number - 1]:
            raise BadText(message("exchange.table.column_twice"), line=1, field=name)
    if called_by not in names:
        raise BadText(message("exchange.table.column_missing"), line=1, field=called_by)
    return names


def _rows(
    lines: Iterator[tuple[int, Cells]], names: Sequence[str], called_by: str
) -> Iterator[TableRow]:
    for count, (line, cells) in enumerate(lines, start=1):
        if count > MOST_ROWS:
            raise BadText(message("exchange.table.too_many", most=MOST_ROWS), line=line)
        if len(cells) > MOST_COLUMNS or any(cell.strip() for cell in cells[len(names) :]):
            raise BadText(message("exchange.table.beside", n=len(names)), line=line)
        texts = {name: cell.strip() for name, cell in zip(names, cells, strict=False)}
        for name, text in texts.items():
            if len(text) > _LONGEST_CELL:
                said = message("exchange.table.long_cell", most=_LONGEST_CELL)
                raise BadText(said, line=line, field=name)
        yield TableRow(
            texts.get(called_by, ""), line, {name: text for name, text in texts.items() if text}
        )
