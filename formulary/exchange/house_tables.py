"""A whole house as CSV (RFC 4180), one file for each table, for whoever looks at it in a sheet.

It is for looking only: a house is read back from its JSON lines.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby
from operator import itemgetter
from typing import Any, TextIO

from formulary.carried import Cell, Cells

_BODY = "body"
_LEFT_OUT = {"pin_hash"}
"""What nobody looks at in a sheet."""
_FORMULAS = ("=", "+", "-", "@", "\t", "\r")
"""What a spreadsheet would reckon or run when it opens the file."""


def by_table(rows: Iterable[tuple[str, Cells]]) -> Iterator[tuple[str, list[Cells]]]:
    """Yield each table's name with its rows; those of files are left out."""
    for name, found in groupby(rows, key=itemgetter(0)):
        cells = [each for _, each in found]
        if not any(isinstance(cell, bytes) for cell in cells[0].values()):
            yield name, [*map(_opened, cells)]


def write_table(rows: list[Cells], out: TextIO) -> None:
    """Write the rows of one table, with the names of all columns that any of them has."""
    names = [*dict.fromkeys(name for row in rows for name in row if name not in _LEFT_OUT)]
    table = csv.writer(out)
    table.writerow(names)
    table.writerows([_text(row.get(name)) for name in names] for row in rows)


def _opened(cells: Cells) -> Cells:
    """Return a row with what its body says beside its other columns, what is nested as JSON."""
    body = cells.get(_BODY)
    if not isinstance(body, str):
        return cells
    said: Mapping[str, Any] = json.loads(body)
    opened = {name: _flat(value) for name, value in said.items()}
    return {**{name: cell for name, cell in cells.items() if name != _BODY}, **opened}


def _flat(value: object) -> Cell:
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


def _text(cell: Cell) -> str:
    if not isinstance(cell, str):
        return "" if cell is None else str(cell)
    return f"'{cell}" if cell.startswith(_FORMULAS) else cell
