"""What is carried from one formulary to another: rows of cells, under the names of tables."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

Cell: TypeAlias = str | int | bytes | None
Cells: TypeAlias = Mapping[str, Cell]
"""A row by the names of its columns, as the database keeps it."""

LARGEST = 2**63 - 1
"""The largest whole number in a cell, and with its sign turned the smallest."""


@dataclass(frozen=True, slots=True)
class Field:
    """A column: its name, the type of what stands in it, and whether that may be missing."""

    name: str
    kind: type[str | int | bytes]
    optional: bool = False

    def takes(self, cell: object) -> bool:
        """Tell whether something may stand in it. True and False aren't numbers here."""
        if cell is None:
            return self.optional
        if type(cell) is int:
            return self.kind is int and -LARGEST <= cell <= LARGEST
        return type(cell) is self.kind


@dataclass(frozen=True, slots=True)
class Shape:
    """A table: its name and its columns."""

    name: str
    fields: tuple[Field, ...]
