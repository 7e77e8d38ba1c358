"""Label stocks by size in millimetres, one file each."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from formulary.errors import BadText, NotFound
from formulary.messages import message
from formulary.resources import resource_path

SHORTEST_SIDE_MM = 20.0
LONGEST_SIDE_MM = 300.0
LEAST_MARGIN_MM = 1.0
_HAIR_MM = 0.05


@dataclass(frozen=True, slots=True)
class Sheet:
    """How labels lie on a sheet: from its corner to the first, and from one to the next, in mm."""

    width_mm: float
    height_mm: float
    columns: int
    rows: int
    left_mm: float
    top_mm: float
    across_mm: float
    down_mm: float

    @property
    def labels(self) -> int:
        """How many there are."""
        return self.columns * self.rows

    def corner(self, place: int) -> tuple[float, float]:
        """Return the top left corner of a label, counted from 0 row by row."""
        row, column = divmod(place, self.columns)
        return self.left_mm + column * self.across_mm, self.top_mm + row * self.down_mm


@dataclass(frozen=True, slots=True)
class LabelStock:
    """One size of label on a roll or on a sheet; ``margin_mm`` stays blank on every side."""

    code: str
    width_mm: float
    height_mm: float
    margin_mm: float = 1.5
    dots_per_inch: int = 203
    kind: str = "roll"
    sheet: Sheet | None = None

    @property
    def page_mm(self) -> tuple[float, float]:
        """The width and height of what runs through the printer: a label, or a whole sheet."""
        whole = self.sheet
        if whole is None:
            return self.width_mm, self.height_mm
        return whole.width_mm, whole.height_mm

    def larger(self, stocks: Iterable[LabelStock]) -> list[LabelStock]:
        """Return those of the same kind that are larger, the smallest first."""
        found = (each for each in stocks if each.area > self.area and each.kind == self.kind)
        return sorted(found, key=lambda each: each.area)

    @property
    def area(self) -> float:
        """The face of one label in square millimetres."""
        return self.width_mm * self.height_mm


def label_stocks(house_folder: Path | None = None) -> tuple[LabelStock, ...]:
    """Return the stocks there are, smallest first: those shipped and those of the house's folder.

    A house's file with a shipped code takes its place. Raises
    :class:`formulary.errors.BadText` for a file that describes no label.
    """
    stocks = {stock.code: stock for stock in _shipped()}
    if house_folder is not None:
        stocks |= {stock.code: stock for stock in _read_folder(house_folder)}
    return tuple(sorted(stocks.values(), key=lambda stock: (stock.area, stock.code)))


def label_stock(code: str, house_folder: Path | None = None) -> LabelStock:
    """Return the stock with that code. Raises NotFound, naming those there are."""
    stocks = label_stocks(house_folder)
    for stock in stocks:
        if stock.code == code:
            return stock
    there_are = ", ".join(stock.code for stock in stocks)
    raise NotFound(message("label.no_such_stock", code=code, there_are=there_are))


@cache
def _shipped() -> tuple[LabelStock, ...]:
    return _read_folder(resource_path("label_stocks"))


def _read_folder(folder: Path) -> tuple[LabelStock, ...]:
    return tuple(read_stock(path) for path in sorted(folder.glob("*.toml")))


def read_stock(path: Path) -> LabelStock:
    """Return the stock that a file describes. Raises BadText naming the file and what is wrong."""
    try:
        table = tomllib.loads(path.read_text(encoding="utf-8"))
    except ValueError as trouble:
        raise _bad(path.name, trouble) from trouble
    return stock_from(table, path.name)


def stock_from(table: dict[str, object], file: str) -> LabelStock:
    """Return the stock that a table describes. Raises BadText naming its file and what is wrong."""
    try:
        stock = _stock(table)
    except (KeyError, TypeError, ValueError) as trouble:
        raise _bad(file, trouble) from trouble
    require_possible(stock, file)
    return stock


def require_possible(stock: LabelStock, file: str) -> None:
    """Raise BadText for sizes that no label has."""
    if not _possible(stock):
        raise BadText(
            message(
                "label.impossible_stock",
                file=file,
                shortest=int(SHORTEST_SIDE_MM),
                longest=int(LONGEST_SIDE_MM),
            ),
            field=file,
        )


def _bad(file: str, trouble: Exception) -> BadText:
    return BadText(message("label.bad_stock_file", file=file, why=str(trouble)), field=file)


def _stock(table: dict[str, object]) -> LabelStock:
    return LabelStock(
        code=str(table["code"]),
        width_mm=_millimetres(table["width_mm"]),
        height_mm=_millimetres(table["height_mm"]),
        margin_mm=_millimetres(table["margin_mm"]),
        dots_per_inch=int(_millimetres(table.get("dots_per_inch", 203))),
        kind=str(table.get("kind", "roll")),
        sheet=_sheet(table.get("sheet")),
    )


def _sheet(table: object) -> Sheet | None:
    if not isinstance(table, dict):
        return None
    return Sheet(
        width_mm=_millimetres(table["width_mm"]),
        height_mm=_millimetres(table["height_mm"]),
        columns=int(_millimetres(table["columns"])),
        rows=int(_millimetres(table["rows"])),
        left_mm=_millimetres(table["left_mm"]),
        top_mm=_millimetres(table["top_mm"]),
        across_mm=_millimetres(table["across_mm"]),
        down_mm=_millimetres(table["down_mm"]),
    )


def _millimetres(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise TypeError(f"{value!r} is no number")
    return float(value)


def _possible(stock: LabelStock) -> bool:
    sides = (stock.width_mm, stock.height_mm)
    return (
        all(SHORTEST_SIDE_MM <= side <= LONGEST_SIDE_MM for side in sides)
        and LEAST_MARGIN_MM <= stock.margin_mm <= min(sides) / 4
        and stock.dots_per_inch >= 150  # noqa: PLR2004  no printer of today is coarser
        and (stock.kind == "sheet") is (stock.sheet is not None)
        and (stock.sheet is None or _all_on(stock, stock.sheet))
    )


def _all_on(stock: LabelStock, sheet: Sheet) -> bool:
    """Tell whether no label overlaps the next one or the sheet's edge."""
    if sheet.columns < 1 or sheet.rows < 1 or min(sheet.left_mm, sheet.top_mm) < 0:
        return False
    last_left, last_top = sheet.corner(sheet.labels - 1)
    return (
        (sheet.columns == 1 or sheet.across_mm >= stock.width_mm)
        and (sheet.rows == 1 or sheet.down_mm >= stock.height_mm)
        and last_left + stock.width_mm <= sheet.width_mm + _HAIR_MM
        and last_top + stock.height_mm <= sheet.height_mm + _HAIR_MM
    )
