"""A whole house as lines of text: what was written reads back equal, and a bad file is placed."""

from __future__ import annotations

import io
import json
from collections.abc import Sequence
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from formulary.carried import LARGEST, Cells, Field, Shape
from formulary.errors import BadText
from formulary.exchange.house_lines import read_house, write_house
from tests.helpers.examples import FULL
from tests.helpers.strategies import texts

SHAPES = (
    Shape("formula", (Field("id", str), Field("revision", int), Field("at", str, optional=True))),
    Shape("file", (Field("sha256", str), Field("data", bytes))),
)
TABLES = "0013"
_CELLS: dict[Any, st.SearchStrategy[Any]] = {
    str: texts(),
    int: st.integers(-LARGEST, LARGEST),
    bytes: st.binary(),
}
Rows = list[tuple[str, Cells]]


def a_row(shape: Shape) -> st.SearchStrategy[tuple[str, Cells]]:
    cells = {
        field.name: st.none() | _CELLS[field.kind] if field.optional else _CELLS[field.kind]
        for field in shape.fields
    }
    return st.fixed_dictionaries(cells).map(lambda row: (shape.name, row))


ROWS: st.SearchStrategy[Rows] = st.tuples(
    *(st.lists(a_row(shape), max_size=4) for shape in SHAPES)
).map(lambda parts: [row for part in parts for row in part])


def written(rows: Rows) -> bytes:
    return "".join(write_house(rows, TABLES)).encode()


def read(data: bytes, shapes: Sequence[Shape] = SHAPES) -> Rows:
    return [*read_house(io.BytesIO(data), shapes, TABLES)]


@given(ROWS)
def test_what_was_written_reads_back_equal(rows: Rows) -> None:
    assert read(written(rows)) == rows


@given(ROWS)
def test_each_line_is_json_for_any_program(rows: Rows) -> None:
    lines = [json.loads(line) for line in written(rows).decode().split("\n")[:-1]]
    assert lines[0] == {"format": "misce house", "edition": 1, "tables": TABLES}
    assert lines[-1] == {"rows": len(rows)}


ROW = b'{"table":"formula","row":{"id":"f","revision":1,"at":null}}\n'
HEAD = b'{"format":"misce house","edition":1,"tables":"0013"}\n'
FILE = b'{"table":"file","row":{"sha256":"s","data":{"base64":"AAA="}}}\n'
END = b'{"rows":1}\n'


@pytest.mark.parametrize(
    ("data", "line", "field", "key"),
    [
        (b"", 1, None, "not_a_house"),
        (b'{"format":"another"}\n', 1, None, "not_a_house"),
        (HEAD.replace(b"0013", b"0012") + END, 1, None, "other_version"),
        (HEAD + ROW, 2, None, "cut_off"),
        (HEAD + ROW + ROW + END, 4, None, "cut_off"),
        (HEAD + ROW + END + ROW, 4, None, "after_end"),
        (HEAD + ROW[:20] + b"\n" + END, 2, None, "not_json"),
        (HEAD + b"\xff\n", 2, None, "not_readable"),
        (HEAD + b"[]\n", 2, None, "not_readable"),
        (HEAD + b'{"table":"x","table":"y"}\n', 2, None, "not_readable"),
        (HEAD + b"[" * 100_000 + b"\n", 2, None, "not_readable"),
        (HEAD + ROW.replace(b"formula", b"version") + END, 2, None, "unknown_table"),
        (HEAD + ROW.replace(b'"at"', b'"by"') + END, 2, "by", "unknown_field"),
        (HEAD + ROW.replace(b":1,", b":1.0,") + END, 2, "revision", "bad_cell"),
        (HEAD + ROW.replace(b":1,", b":true,") + END, 2, "revision", "bad_cell"),
        (HEAD + ROW.replace(b":1,", b":%d," % 2**63) + END, 2, "revision", "bad_cell"),
        (HEAD + ROW.replace(b":1,", b":NaN,") + END, 2, None, "not_readable"),
        (HEAD + ROW.replace(b'"f"', rb'"\u0000"') + END, 2, "id", "bad_cell"),
        (HEAD + ROW.replace(b'"f"', rb'"\ud800"') + END, 2, "id", "bad_cell"),
        (HEAD + ROW.replace(b'"f"', b"null") + END, 2, "id", "bad_cell"),
        (HEAD + FILE.replace(b"AAA=", b"?"), 2, "data", "bad_cell"),
        (HEAD + FILE + ROW, 3, None, "out_of_order"),
    ],
)  # fmt: skip
def test_a_bad_file_is_refused_at_its_line(
    data: bytes, line: int, field: str | None, key: str
) -> None:
    with pytest.raises(BadText) as refused:
        read(data)
    assert (refused.value.line, refused.value.field) == (line, field)
    assert refused.value.message.key == f"exchange.house.{key}"


SEED = HEAD + ROW + FILE + END.replace(b"1", b"2")


def place_of_trouble(data: bytes) -> int | None:
    try:
        read(data)
    except BadText as refused:
        return refused.line
    return 1


@given(st.data())
@settings(max_examples=20_000 if FULL else 400, deadline=2000)
def test_a_mutated_file_is_read_or_refused_and_nothing_else(data: st.DataObject) -> None:
    mutated = bytearray(SEED)
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.integers(0, len(mutated)))
        cut = data.draw(st.integers(0, 6))
        mutated[place : place + cut] = data.draw(
            st.binary(max_size=4) | st.sampled_from([b"\n", b'"', b"{", b"}", b"null", b"9" * 30])
        )
    assert place_of_trouble(bytes(mutated)) is not None
