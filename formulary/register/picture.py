"""A trace laid out for drawing: boxes in columns from suppliers to patients, and lines between.

Weighings are what the lines stand for, and jars of one preparation that went the same way share
a box, so that what is drawn stays readable. People at the bench aren't drawn.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from formulary.tracing import RECIPIENTS, Link, Node, Sort, Trace

SWEEPS = 4
_FIRST_COLUMN = {
    Sort.SUPPLIER: 0,
    Sort.LOT: 1,
    Sort.CONTAINER: 2,
    Sort.PREPARATION: 3,
    Sort.JAR: 4,
    Sort.PATIENT: 5,
    Sort.WARD: 5,
}

_Ways: TypeAlias = dict[Node, list[Node]]


@dataclass(frozen=True, slots=True)
class Box:
    """What is drawn as one: mostly one node, or several jars that went the same way.

    ``begun`` says that the trace started here.
    """

    nodes: tuple[Node, ...]
    begun: bool

    @property
    def sort(self) -> Sort:
        """What it is."""
        return self.nodes[0].sort

    @property
    def key(self) -> tuple[str, str]:
        """What tells it from every other box."""
        return self.sort.value, self.nodes[0].id


@dataclass(frozen=True, slots=True)
class Picture:
    """Columns of boxes from left to right, and lines as column and row of both their ends."""

    columns: tuple[tuple[Box, ...], ...]
    lines: tuple[tuple[tuple[int, int], tuple[int, int]], ...]


def picture(*traces: Trace) -> Picture:
    """Return the layout of walks from the same starts, as one picture."""
    starts = {node for each in traces for node in each.starts}
    nodes = dict.fromkeys(node for each in traces for node in each.nodes)
    links = _without_weighings(dict.fromkeys(link for each in traces for link in each.links))
    box_of = _boxes([node for node in nodes if node.sort in _FIRST_COLUMN], links, starts)
    between = {(box_of[each.source], box_of[each.target]): None for each in links}
    return _placed(list(dict.fromkeys(box_of.values())), list(between))


def _without_weighings(links: Iterable[Link]) -> list[Link]:
    """Return the links with each weighing replaced by a link past it."""
    into: _Ways = {}
    kept: list[Link] = []
    out: list[Link] = []
    for link in links:
        if link.target.sort is Sort.WEIGHING:
            into.setdefault(link.target, []).append(link.source)
        elif link.source.sort is Sort.WEIGHING:
            out.append(link)
        else:
            kept.append(link)
    past = (Link(source, each.target) for each in out for source in into.get(each.source, ()))
    drawn = dict.fromkeys((*kept, *past))
    return [each for each in drawn if {each.source.sort, each.target.sort} <= _FIRST_COLUMN.keys()]


def _boxes(nodes: Iterable[Node], links: Iterable[Link], starts: set[Node]) -> dict[Node, Box]:
    """Return the box of each node; jars of one preparation that went the same way share one."""
    came_from: dict[Node, str] = {}
    went_to: dict[Node, set[str]] = {}
    for link in links:
        if link.target.sort is Sort.JAR:
            came_from[link.target] = link.source.id
        if link.source.sort is Sort.JAR:
            went_to.setdefault(link.source, set()).add(link.target.id)
    groups: dict[object, list[Node]] = {}
    for node in nodes:
        alone = node.sort is not Sort.JAR or node in starts
        way = (came_from.get(node), tuple(sorted(went_to.get(node, ()))))
        groups.setdefault((node.sort, node.id) if alone else way, []).append(node)
    return {
        node: box
        for group in groups.values()
        for box in [Box(tuple(sorted(group, key=_number)), any(each in starts for each in group))]
        for node in group
    }


def _number(node: Node) -> tuple[int, str]:
    """Return what sorts jar 2 before jar 10."""
    return len(node.id), node.id


def _placed(boxes: list[Box], between: list[tuple[Box, Box]]) -> Picture:
    column = _columns(boxes, between)
    used = sorted(set(column.values()))
    rows = [sorted((b for b in boxes if column[b] == at), key=lambda box: box.key) for at in used]
    for _ in range(SWEEPS):
        _ordered(rows, between)
    place = {box: (x, y) for x, row in enumerate(rows) for y, box in enumerate(row)}
    lines = tuple((place[source], place[target]) for source, target in between)
    return Picture(tuple(map(tuple, rows)), tuple(sorted(lines)))


def _columns(boxes: list[Box], between: list[tuple[Box, Box]]) -> dict[Box, int]:
    """Return each box's column: right of all it comes from, at least the usual one of its sort.

    Whoever got a jar stands in the last one. Links that went round in a circle would end here, too.
    """
    found = {box: _FIRST_COLUMN[box.sort] for box in boxes}
    for _ in boxes:
        moved = False
        for source, target in between:
            if found[target] <= found[source]:
                found[target] = found[source] + 1
                moved = True
        if not moved:
            break
    last = max(found.values(), default=0)
    return {box: last if box.sort in RECIPIENTS else at for box, at in found.items()}


def _ordered(rows: list[list[Box]], between: list[tuple[Box, Box]]) -> None:
    """Bring each box near the middle of those it is tied to, so that fewer lines cross."""
    near: dict[Box, list[Box]] = {}
    for source, target in between:
        near.setdefault(source, []).append(target)
        near.setdefault(target, []).append(source)
    for row in rows:
        height = _heights(rows)
        row.sort(key=lambda box: (_middle(box, near.get(box, []), height), box.key))


def _heights(rows: list[list[Box]]) -> dict[Box, float]:
    """Return how far down each box stands, from 0 to 1."""
    return {box: (at + 0.5) / len(row) for row in rows for at, box in enumerate(row)}


def _middle(box: Box, near: list[Box], height: Mapping[Box, float]) -> float:
    return sum(height[each] for each in near) / len(near) if near else height[box]
