"""Pictograms as outlines, drawn by us: hazard diamonds after the UN's GHS, and how it is kept.

Each is a list of shapes in a square of 100 by 100 from its top left corner, laid on one another.
The diamond's frame is black: labels are printed in one colour, which GHS leaves to an authority for
what isn't exported (GHS 1.4.10.4.2.3, from memory). The signs of storage say what ISO 7000 0632,
0624 and 0626 say, in shapes of our own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from math import cos, hypot, pi, sin
from typing import TypeAlias

Point: TypeAlias = tuple[float, float]
# A straight line to one point, or a curve by two control points to the third.
Step: TypeAlias = tuple[Point] | tuple[Point, Point, Point]

UNIT = 100.0
DIAMOND_MM = 14.2
"""A diamond with sides of 10 mm, the least of EU's CLP (annex I, 1.2.1; from memory)."""
SIGN_MM = 7.0
"""Our figure: 56 dots of a printer with 203 to the inch."""

# The way of a circle's control points, in parts of its radius.
_ROUND = 0.5523


@dataclass(frozen=True, slots=True)
class Shape:
    """A closed outline, filled with ink or, where it cuts into another, with white."""

    start: Point
    steps: tuple[Step, ...]
    ink: bool = True


@cache
def shapes_of(name: str) -> tuple[Shape, ...]:
    """Return a pictogram's shapes, from the undermost. Raises KeyError for an unknown name."""
    if name.startswith("ghs"):
        return (*_FRAME, *_SYMBOLS[name])
    return _SIGNS[name]


def names() -> tuple[str, ...]:
    """Return the names of all pictograms."""
    return (*_SYMBOLS, *_SIGNS)


def side_mm(name: str) -> float:
    """Return the least width and height of a pictogram."""
    return DIAMOND_MM if name.startswith("ghs") else SIGN_MM


def _polygon(*points: Point, ink: bool = True) -> Shape:
    return Shape(points[0], tuple((each,) for each in points[1:]), ink)


def _circle(x: float, y: float, radius: float, *, ink: bool = True) -> Shape:
    near, r = radius * _ROUND, radius
    return Shape(
        (x + r, y),
        (
            ((x + r, y + near), (x + near, y + r), (x, y + r)),
            ((x - near, y + r), (x - r, y + near), (x - r, y)),
            ((x - r, y - near), (x - near, y - r), (x, y - r)),
            ((x + near, y - r), (x + r, y - near), (x + r, y)),
        ),
        ink,
    )


def _bar(start: Point, end: Point, wide: float, *, ink: bool = True) -> Shape:
    """Return a line of that width."""
    along = (end[0] - start[0], end[1] - start[1])
    part = wide / 2 / hypot(*along)
    across = (-along[1] * part, along[0] * part)
    return _polygon(
        (start[0] + across[0], start[1] + across[1]),
        (end[0] + across[0], end[1] + across[1]),
        (end[0] - across[0], end[1] - across[1]),
        (start[0] - across[0], start[1] - across[1]),
        ink=ink,
    )


def _star(x: float, y: float, outer: float, inner: float, *, rays: int, ink: bool) -> Shape:
    angles = [pi * number / rays - pi / 2 for number in range(2 * rays)]
    reach = [outer if number % 2 == 0 else inner for number in range(2 * rays)]
    return _polygon(
        *((x + r * cos(a), y + r * sin(a)) for r, a in zip(reach, angles, strict=True)), ink=ink
    )


def _flame(x: float, y: float, size: float, *, ink: bool = True) -> Shape:
    """Return a flame standing with its foot at a point."""

    def at(right: float, up: float) -> Point:
        return x + right * size, y - up * size

    return Shape(
        at(0, 0),
        (
            (at(-0.35, 0), at(-0.42, 0.3), at(-0.3, 0.5)),
            (at(-0.26, 0.6), at(-0.24, 0.64), at(-0.22, 0.72)),
            (at(-0.15, 0.66), at(-0.12, 0.6), at(-0.1, 0.52)),
            (at(0.02, 0.68), at(-0.02, 0.85), at(-0.06, 1.0)),
            (at(0.2, 0.85), at(0.4, 0.6), at(0.34, 0.3)),
            (at(0.3, 0.1), at(0.2, 0), at(0, 0)),
        ),
        ink,
    )


def _rays(x: float, y: float, near: float, far: float, count: int) -> Iterator[Shape]:
    for number in range(count):
        a = 2 * pi * number / count
        yield _bar((x + near * cos(a), y + near * sin(a)), (x + far * cos(a), y + far * sin(a)), 5)


_FRAME = (
    _polygon((50, 0), (100, 50), (50, 100), (0, 50)),
    _polygon((50, 9), (91, 50), (50, 91), (9, 50), ink=False),
)
_SYMBOLS: dict[str, tuple[Shape, ...]] = {
    # Exploding bomb.
    "ghs01": (
        _star(54, 44, 26, 13, rays=9, ink=True),
        _circle(44, 58, 14, ink=False),
        _circle(44, 58, 12),
        _bar((50, 48), (60, 36), 4, ink=False),
    ),
    # Flame.
    "ghs02": (
        _flame(50, 70, 48),
        _flame(51, 68, 22, ink=False),
        _bar((34, 75), (66, 75), 4),
    ),
    # Flame over circle.
    "ghs03": (
        _circle(50, 60, 14),
        _circle(50, 60, 9, ink=False),
        _flame(50, 56, 36),
        _flame(50, 55, 15, ink=False),
        _bar((34, 78), (66, 78), 4),
    ),
    # Gas cylinder.
    "ghs04": (
        _bar((26, 62), (62, 46), 14),
        _circle(62, 46, 7),
        _bar((66, 44), (78, 39), 6),
    ),
    # Corrosion: liquids on metal and on a hand.
    "ghs05": (
        _bar((22, 42), (46, 34), 7),
        _bar((54, 34), (78, 42), 7),
        _bar((44, 42), (44, 58), 3),
        _bar((56, 42), (56, 56), 3),
        _bar((31, 66), (48, 66), 7),
        _circle(44, 61, 3.5, ink=False),
        _polygon((52, 62), (64, 58), (73, 63), (68, 70), (54, 70)),
        _circle(58, 60, 3.5, ink=False),
    ),
    # Skull and crossbones.
    "ghs06": (
        _bar((31, 58), (66, 70), 5),
        _bar((34, 70), (69, 58), 5),
        *(_circle(x, y, 3.5) for x, y in ((31, 58), (69, 58), (34, 70), (66, 70))),
        _circle(50, 38, 18, ink=False),
        _circle(50, 37, 16),
        _polygon((42, 46), (58, 46), (56, 60), (44, 60)),
        _circle(43.5, 37, 4.5, ink=False),
        _circle(56.5, 37, 4.5, ink=False),
        _polygon((50, 43), (53, 49), (47, 49), ink=False),
        _bar((50, 53), (50, 60), 1.5, ink=False),
    ),
    # Exclamation mark.
    "ghs07": (_polygon((44, 24), (56, 24), (53, 60), (47, 60)), _circle(50, 70, 6)),
    # Health hazard: a figure with a burst in the chest.
    "ghs08": (
        _circle(50, 28, 10),
        _polygon((33, 70), (35, 48), (43, 40), (57, 40), (65, 48), (67, 70)),
        _star(52, 58, 13, 4, rays=6, ink=False),
    ),
    # Environment: a bare tree and a dead fish.
    "ghs09": (
        _bar((36, 30), (40, 66), 4),
        _bar((37, 42), (26, 34), 3),
        _bar((38, 48), (50, 36), 3),
        _bar((37, 36), (44, 26), 3),
        _bar((18, 66), (56, 66), 4),
        Shape((52, 60), (((60, 48), (74, 48), (80, 58)), ((74, 68), (60, 68), (52, 60)))),
        _polygon((55, 60), (46, 52), (47, 66)),
        _circle(72, 57, 2, ink=False),
    ),
}


_THERMOMETER = (
    _bar((50, 8), (50, 74), 22),
    _circle(50, 8, 8),
    _circle(50, 80, 19),
    _bar((50, 9), (50, 76), 12, ink=False),
    _circle(50, 80, 14, ink=False),
    _circle(50, 80, 9),
    _bar((50, 40), (50, 80), 6),
)
_LOWER, _UPPER = _bar((0, 62), (38, 62), 6), _bar((62, 20), (100, 20), 6)
_SIGNS: dict[str, tuple[Shape, ...]] = {
    "between": (*_THERMOMETER, _LOWER, _UPPER),
    "not_above": (*_THERMOMETER, _UPPER),
    "not_below": (*_THERMOMETER, _LOWER),
    # A sun, and a roof over what stands below.
    "light": (
        *_rays(50, 28, 18, 27, 10),
        _circle(50, 28, 13),
        _polygon((50, 50), (4, 86), (4, 96), (50, 60), (96, 96), (96, 86)),
        _polygon((30, 84), (70, 84), (70, 100), (30, 100)),
    ),
    # An umbrella in the rain.
    "dry": (
        Shape((4, 56), (((4, -2), (96, -2), (96, 56)),)),
        _bar((50, 50), (50, 88), 7),
        _circle(42, 88, 12),
        _circle(42, 86, 6, ink=False),
        _polygon((28, 70), (46, 70), (46, 86), (28, 86), ink=False),
        *(_bar((x, 2), (x - 4, 12), 5) for x in (16, 88)),
    ),
}
