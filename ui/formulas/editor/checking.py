"""What the editor says about the fields as they stand: troubles, sum, questions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from formulary.errors import BadText
from formulary.formula.completing import completed
from formulary.formula.content import Content
from formulary.formula.fields import read_fields
from formulary.ingredient import Ingredient
from formulary.scaling.balance_sheet import BalanceSheet, balance_sheet
from ui.formulas.editor.plain import Fields, rows, without_empty_rows

LINES = ("ingredient", "total", "units", "dose", "density")
"""Where a trouble keeps the sum from being checked."""


@dataclass(frozen=True, slots=True)
class Check:
    """The content as far as it can be read, what can't, and the sum where it can be told.

    ``roleless`` is how many lines have no role while others have one.
    """

    content: Content
    troubles: tuple[BadText, ...]
    sheet: BalanceSheet | None
    roleless: int = 0


def check(fields: Fields, ingredients: Sequence[Ingredient], decimal_sign: str) -> Check:
    """Read the fields and add the lines up; rows in which nothing was written don't count."""
    reading = read_fields(without_empty_rows(fields), decimal_sign)
    troubles = tuple(_placed_back(trouble, fields) for trouble in reading.troubles)
    concerns = (trouble.field or "" for trouble in troubles)
    if any(place.split(".")[0] in LINES for place in concerns):
        return Check(reading.content, troubles, None, _roleless(fields))
    content = completed(reading.content, ingredients)
    return Check(content, troubles, balance_sheet(content), _roleless(fields))


def _roleless(fields: Fields) -> int:
    written = [row for row in rows(fields, "ingredient") if row]
    without = sum(not row.get("role") for row in written)
    return without if without < len(written) else 0


def _placed_back(trouble: BadText, fields: Fields) -> BadText:
    """Return the trouble with the number of its row as the form counts, empty rows included."""
    place = place_in_form(trouble.field or "", fields)
    return BadText(trouble.message, line=trouble.line, field=place)


def place_in_form(place: str, fields: Fields) -> str:
    """Return a place with the number of its row as the form counts, empty rows included."""
    table, *rest = place.split(".")
    if not rest or not rest[0].isdecimal():
        return place
    written = [position for position, row in enumerate(rows(fields, table)) if row]
    position = int(rest[0])
    return (
        ".".join((table, str(written[position]), *rest[1:])) if position < len(written) else place
    )
