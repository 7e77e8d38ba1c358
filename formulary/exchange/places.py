"""Where a field stands in a TOML file: the standard reader keeps no line numbers."""

from __future__ import annotations

import re
from collections.abc import Iterator

_HEADER = re.compile(r"\s*(\[\[?)\s*([A-Za-z0-9_.\-]+)\s*\]\]?\s*(?:#.*)?$")
_KEY = re.compile(r"""\s*["']?([A-Za-z0-9_\-]+)["']?\s*=""")
_FENCES = ('"""', "'''")


def line_of(text: str, place: str) -> int | None:
    """Return the line of a field such as ``ingredient.2.quantity`` (tables counted from 0).

    A field that isn't there is placed at its table's header, and one without a table at line 1.
    """
    lines = dict(_places(text))
    while place:
        if place in lines:
            return lines[place]
        place = place.rpartition(".")[0]
    return 1 if text else None


def _places(text: str) -> Iterator[tuple[str, int]]:
    table = ""
    counts: dict[str, int] = {}
    fence = ""
    for number, line in enumerate(text.split("\n"), start=1):
        if fence:
            fence = "" if fence in line else fence
            continue
        if header := _HEADER.match(line):
            table = _entered(header[2], counts, many=header[1] == "[[")
            yield table, number
        elif key := _KEY.match(line):
            yield f"{table}.{key[1]}" if table else key[1], number
        fence = next((each for each in _FENCES if line.count(each) == 1), "")


def _entered(name: str, counts: dict[str, int], *, many: bool) -> str:
    if not many:
        return name
    counts[name] = counts.get(name, -1) + 1
    return f"{name}.{counts[name]}"
