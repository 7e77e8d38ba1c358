"""Plain fields changed without touching what they were: each change gives new fields."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeAlias

Fields: TypeAlias = Mapping[str, Any]
Path: TypeAlias = tuple[str | int, ...]


def at(fields: Fields, path: Path) -> Any:  # noqa: ANN401 - a field holds what TOML can hold
    """Return what stands at a path, None where nothing does."""
    found: Any = fields
    for step in path:
        if isinstance(step, int):
            found = found[step] if isinstance(found, list) and step < len(found) else None
        else:
            found = found.get(step) if isinstance(found, Mapping) else None
    return found


def put(fields: Fields, path: Path, value: object) -> dict[str, Any]:
    """Return the fields with a value at a path; an empty value takes the field out."""
    first, *rest = path
    changed = dict(fields)
    if rest:
        below = changed.get(str(first))
        value = _put_below(below, tuple(rest), value)
    if _empty(value):
        changed.pop(str(first), None)
    else:
        changed[str(first)] = value
    return changed


def rows(fields: Fields, table: str) -> list[dict[str, Any]]:
    """Return the rows of a repeated table, a list of its own."""
    found = fields.get(table)
    return [dict(each) for each in found] if isinstance(found, list) else []


def with_row(fields: Fields, table: str, position: int) -> dict[str, Any]:
    """Return the fields with an empty row put in before a position."""
    changed = rows(fields, table)
    changed.insert(position, {})
    return dict(fields) | {table: changed}


def without_row(fields: Fields, table: str, position: int) -> dict[str, Any]:
    """Return the fields without a row."""
    changed = rows(fields, table)
    del changed[position]
    return put(fields, (table,), changed)


def with_row_moved(fields: Fields, table: str, position: int, to: int) -> dict[str, Any]:
    """Return the fields with a row moved to another place."""
    changed = rows(fields, table)
    changed.insert(to, changed.pop(position))
    return dict(fields) | {table: changed}


def without_empty_rows(fields: Fields) -> dict[str, Any]:
    """Return the fields without rows in which nothing was written."""
    return {
        name: [row for row in value if row] if isinstance(value, list) else value
        for name, value in fields.items()
    }


def _put_below(below: object, path: Path, value: object) -> object:
    if not isinstance(path[0], int):
        return put(below if isinstance(below, dict) else {}, path, value)
    changed = list(below) if isinstance(below, list) else []
    changed[path[0]] = put(changed[path[0]], path[1:], value)
    return changed


def _empty(value: object) -> bool:
    """Whether nothing was written; 0 is a number like any other."""
    return value is None or value is False or value in ("", [], {})
