"""A stock by what a ruler says of it: sides, margin, and on a sheet rows, columns and gaps."""

from __future__ import annotations

from collections.abc import Mapping

from formulary.labels.stock import LabelStock, Sheet, require_possible

MEASURES = ("width", "height", "margin", "dots")
"""What every stock has: mm, and the printer's dots per inch."""

ON_SHEETS = (
    "columns",
    "rows",
    "gap_across",
    "gap_down",
    "first_left",
    "first_top",
    "sheet_width",
    "sheet_height",
)
"""What a stock on sheets has beside it; ``columns`` 0 means a roll."""


def measures_of(stock: LabelStock) -> dict[str, float]:
    """Return what is measured of a stock."""
    found = {
        "width": stock.width_mm,
        "height": stock.height_mm,
        "margin": stock.margin_mm,
        "dots": float(stock.dots_per_inch),
    }
    sheet = stock.sheet
    if sheet is None:
        return found
    return found | {
        "columns": float(sheet.columns),
        "rows": float(sheet.rows),
        "gap_across": _tidy(sheet.across_mm - stock.width_mm),
        "gap_down": _tidy(sheet.down_mm - stock.height_mm),
        "first_left": sheet.left_mm,
        "first_top": sheet.top_mm,
        "sheet_width": sheet.width_mm,
        "sheet_height": sheet.height_mm,
    }


def stock_by(code: str, measured: Mapping[str, float]) -> LabelStock:
    """Return the stock with these measures; those of a sheet are 0 where they aren't given.

    Raises :class:`formulary.errors.BadText` for measures that no label has.
    """
    width, height = measured.get("width", 0), measured.get("height", 0)
    sheet = None
    if measured.get("columns", 0):
        columns, rows, across, down, left, top, wide, high = (
            measured.get(name, 0) for name in ON_SHEETS
        )
        across, down = _tidy(width + across), _tidy(height + down)
        sheet = Sheet(wide, high, int(columns), int(rows), left, top, across, down)
    stock = LabelStock(
        code.strip(),
        width,
        height,
        measured.get("margin", 0),
        int(measured.get("dots", 0)),
        "roll" if sheet is None else "sheet",
        sheet,
    )
    require_possible(stock, code)
    return stock


def _tidy(number: float) -> float:
    return round(number, 2)
