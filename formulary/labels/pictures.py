"""Which pictograms a label carries, and where they stand."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from formulary.calculating.tables import table
from formulary.formula.content import Storage
from formulary.labels.content import LabelContent
from formulary.labels.metrics import Weight, runs
from formulary.labels.page import Field, GlyphRun, Item, Picture
from formulary.labels.pictogram import side_mm

TABLE = "label-pictograms"
_MOST = 4
_APART_MM = 1.0
_FIGURE_PT = 6.0
# Where the lines of a thermometer's limits stand, in parts of its height.
_UPPER, _LOWER = 0.2, 0.62
# Half the height of a figure at that size.
_HALF_FIGURE_MM = 0.75
_STATEMENT = re.compile(r"H[0-9]{3}")
# By GHS's order of precedence these take the exclamation mark's place (annex 1, from memory).
_OVER_EXCLAMATION = frozenset({"ghs05", "ghs06"})


@dataclass(frozen=True, slots=True)
class Pictogram:
    """One to be shown; ``left`` and ``right`` are figures beside a thermometer's lines."""

    name: str
    left: str = ""
    right: str = ""

    @property
    def width_mm(self) -> float:
        """Its width with the figures beside it."""
        return side_mm(self.name) + sum(_width(text) for text in (self.left, self.right))


def pictograms_for(content: LabelContent) -> tuple[Pictogram, ...]:
    """Return what warnings and storage call for, hazards first."""
    codes = {row["warning"]: row["pictogram"] for row in table(TABLE) if "warning" in row}
    hazards = (codes[each] for each in content.warnings if each in codes)
    return (*map(Pictogram, dict.fromkeys(hazards)), *_of_storage(content.storage))[:_MOST]


def must_show(content: LabelContent) -> bool:
    """Tell whether the label isn't printed without its pictograms."""
    must = {row["warning"] for row in table(TABLE) if row["must"] and "warning" in row}
    return bool(must.intersection(content.warnings))


def pictograms_of(hazards: Iterable[str]) -> tuple[Pictogram, ...]:
    """Return the diamonds for hazard statements, such as "H225" or "H361d"."""
    found = {said[0] for each in hazards if (said := _STATEMENT.search(each))}
    named = [row["pictogram"] for row in table(TABLE) if found.intersection(_statements(row))]
    if _OVER_EXCLAMATION.intersection(named):
        named = [each for each in named if each != "ghs07"]
    return tuple(map(Pictogram, dict.fromkeys(named)))[:_MOST]


def row_width_mm(pictograms: Sequence[Pictogram]) -> float:
    """Return the width of pictograms side by side."""
    return sum(each.width_mm + _APART_MM for each in pictograms)


def row_of(pictograms: Iterable[Pictogram], left: float, bottom: float) -> tuple[Item, ...]:
    """Return pictograms side by side on a line, from there on to the right."""
    items: list[Item] = []
    for each in pictograms:
        items += _placed(each, left, bottom)
        left += each.width_mm + _APART_MM
    return tuple(items)


def _statements(row: Mapping[str, Any]) -> Sequence[str]:
    found: Sequence[str] = row.get("statements", ())
    return found


def _of_storage(kept: Storage | None) -> Iterator[Pictogram]:
    if kept is None:
        return
    lowest, highest = (_degrees(each) for each in (kept.lowest, kept.highest))
    if lowest and highest:
        yield Pictogram("between", lowest, highest)
    elif highest:
        yield Pictogram("not_above", right=highest)
    elif lowest:
        yield Pictogram("not_below", left=lowest)
    if kept.protect_from_light:
        yield Pictogram("light")
    if kept.keep_dry:
        yield Pictogram("dry")


def _degrees(limit: int | None) -> str:
    sign = "\N{MINUS SIGN}" if limit is not None and limit < 0 else ""
    return "" if limit is None else f"{sign}{abs(limit)}\N{NO-BREAK SPACE}°C"


def _width(text: str) -> float:
    return sum(run.width_mm for run in runs(text, Weight.REGULAR, _FIGURE_PT)) if text else 0.0


def _placed(one: Pictogram, left: float, bottom: float) -> Iterator[Item]:
    side = side_mm(one.name)
    top, start = bottom - side, left + _width(one.left)
    yield Picture(start, top, side, one.name)
    yield from _figure(one.left, left, top + side * _LOWER)
    yield from _figure(one.right, start + side, top + side * _UPPER)


def _figure(text: str, left: float, middle: float) -> Iterator[GlyphRun]:
    """Yield a figure with its middle on a line."""
    for run in runs(text, Weight.REGULAR, _FIGURE_PT) if text else ():
        baseline = middle + _HALF_FIGURE_MM
        yield GlyphRun(
            left,
            baseline,
            run.text,
            run.font,
            _FIGURE_PT,
            run.width_mm,
            Field.PICTOGRAM,
            ascent=run.ascent,
            descent=run.descent,
        )
        left += run.width_mm
