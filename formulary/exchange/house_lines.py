"""A whole house as JSON lines: everything that is kept, to be read by any program.

The first line says what the file is, each further line is one row of one table, the last one how
many there were, by which a file that was cut off shows. Bytes stand as ``{"base64": "..."}``.
"""

from __future__ import annotations

import base64
import binascii
import json
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, BinaryIO, NoReturn

from formulary.carried import Cell, Cells, Field, Shape
from formulary.errors import BadText
from formulary.messages import Parameter, message

FORMAT = "misce house"
EDITION = 1
LONGEST_LINE = 48 * 1024 * 1024
"""Bytes; room for the largest file that is kept, which is text a third longer."""


def write_house(rows: Iterable[tuple[str, Cells]], tables: str) -> Iterator[str]:
    """Yield the lines; ``tables`` is the revision of the tables that the rows come from."""
    yield _line({"format": FORMAT, "edition": EDITION, "tables": tables})
    count = 0
    for table, cells in rows:
        yield _line({"table": table, "row": {name: _plain(cell) for name, cell in cells.items()}})
        count += 1
    yield _line({"rows": count})


def read_house(file: BinaryIO, shapes: Sequence[Shape], tables: str) -> Iterator[tuple[str, Cells]]:
    """Yield the rows of a file, each checked against the table that it is for.

    Raises :class:`formulary.errors.BadText` with line, field and sentence at the first trouble.
    """
    lines = enumerate(_lines(file), start=1)
    _check_head(next(lines, (1, {}))[1], tables)
    places = {shape.name: (order, shape) for order, shape in enumerate(shapes)}
    count = reached = 0
    ended = False
    for number, said in lines:
        if ended:
            _refuse("after_end", number)
        if "rows" in said:
            ended = True
            if said != {"rows": count}:
                _refuse("cut_off", number, n=count)
            continue
        order, shape = _shape_of(said, number, places)
        if order < reached:
            _refuse("out_of_order", number, table=shape.name)
        reached = order
        count += 1
        yield shape.name, _cells(said["row"], shape, number)
    if not ended:
        _refuse("cut_off", count + 1, n=count)


def _line(said: dict[str, Any]) -> str:
    return json.dumps(said, ensure_ascii=False, separators=(",", ":")) + "\n"


def _plain(cell: Cell) -> object:
    return {"base64": base64.b64encode(cell).decode()} if isinstance(cell, bytes) else cell


def _lines(file: BinaryIO) -> Iterator[dict[str, Any]]:
    number = 0
    while line := file.readline(LONGEST_LINE + 1):
        number += 1
        if len(line) > LONGEST_LINE:
            _refuse("too_long", number, n=LONGEST_LINE // 1024**2)
        yield _object(line, number)


def _object(line: bytes, number: int) -> dict[str, Any]:
    try:
        text = line.decode("utf-8-sig" if number == 1 else "utf-8")
        said = json.loads(text, object_pairs_hook=_once_each, parse_constant=_no_number)
    except json.JSONDecodeError as error:
        raise BadText(
            message("exchange.house.not_json", column=error.colno), line=number
        ) from error
    except (ValueError, RecursionError) as error:
        raise BadText(message("exchange.house.not_readable"), line=number) from error
    if not isinstance(said, dict):
        _refuse("not_readable", number)
    return said


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise ValueError("a name twice")
    return found


def _no_number(_: str) -> NoReturn:
    raise ValueError("not a number")


def _check_head(head: dict[str, Any], tables: str) -> None:
    if head.get("format") != FORMAT:
        _refuse("not_a_house", 1)
    if head.get("edition") != EDITION or head.get("tables") != tables:
        _refuse("other_version", 1, wanted=f"{EDITION}, {tables}")


def _shape_of(
    said: dict[str, Any], number: int, places: dict[str, tuple[int, Shape]]
) -> tuple[int, Shape]:
    name, row = said.get("table"), said.get("row")
    if len(said) != len(("table", "row")) or not isinstance(name, str) or not isinstance(row, dict):
        _refuse("not_readable", number)
    if name not in places:
        _refuse("unknown_table", number, table=name)
    return places[name]


def _cells(row: dict[str, Any], shape: Shape, number: int) -> Cells:
    known = {field.name for field in shape.fields}
    for name in row:
        if name not in known:
            raise BadText(message("exchange.house.unknown_field"), line=number, field=name)
    return {field.name: _cell(row, field, number) for field in shape.fields}


def _cell(row: dict[str, Any], field: Field, number: int) -> Cell:
    try:
        cell = _decoded(row[field.name])
    except (KeyError, ValueError):
        cell = object()
    if not field.takes(cell):
        raise BadText(message("exchange.house.bad_cell"), line=number, field=field.name)
    taken: Cell = cell  # type: ignore[assignment]  # the field takes it
    return taken


def _decoded(cell: object) -> object:
    """Return a cell's value. Raises ValueError for text that can't be kept."""
    if isinstance(cell, str):
        cell.encode()
        if "\0" in cell:
            raise ValueError("NUL")
    if not isinstance(cell, dict):
        return cell
    if [*cell] != ["base64"] or not isinstance(cell["base64"], str):
        raise ValueError("not bytes")
    try:
        return base64.b64decode(cell["base64"], validate=True)
    except binascii.Error as error:
        raise ValueError("not base64") from error


def _refuse(what: str, line: int, **parameters: Parameter) -> NoReturn:
    raise BadText(message(f"exchange.house.{what}", **parameters), line=line)
