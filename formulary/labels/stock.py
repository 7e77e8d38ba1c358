"""Label stocks by size in millimetres, one file each."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from formulary.errors import BadText, NotFound
from formulary.messages import message
from formulary.resources import resource_path

SHORTEST_SIDE_MM = 20.0
LONGEST_SIDE_MM = 300.0
LEAST_MARGIN_MM = 1.0


@dataclass(frozen=True, slots=True)
class LabelStock:
    """One size of label on a roll; ``margin_mm`` stays blank on every side."""

    code: str
    width_mm: float
    height_mm: float
    margin_mm: float = 1.5
    dots_per_inch: int = 203
    kind: str = "roll"

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
        stock = _stock(tomllib.loads(path.read_text(encoding="utf-8")))
    except (KeyError, TypeError, ValueError) as trouble:
        raise BadText(
            message("label.bad_stock_file", file=path.name, why=str(trouble)), field=path.name
        ) from trouble
    if not _possible(stock):
        raise BadText(
            message(
                "label.impossible_stock",
                file=path.name,
                shortest=int(SHORTEST_SIDE_MM),
                longest=int(LONGEST_SIDE_MM),
            ),
            field=path.name,
        )
    return stock


def _stock(table: dict[str, object]) -> LabelStock:
    return LabelStock(
        code=str(table["code"]),
        width_mm=_millimetres(table["width_mm"]),
        height_mm=_millimetres(table["height_mm"]),
        margin_mm=_millimetres(table["margin_mm"]),
        dots_per_inch=int(_millimetres(table.get("dots_per_inch", 203))),
        kind=str(table.get("kind", "roll")),
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
    )
