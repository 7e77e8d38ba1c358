"""The tables that can be taken over: their columns, and the verb for their rows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from formulary.desk import Desk
from formulary.taking_over import Fated, TableRow
from formulary.verbs import take_over_ingredients as of_ingredients
from formulary.verbs import take_over_lots as of_lots
from formulary.verbs.all_or_nothing import Keep


@dataclass(frozen=True, slots=True)
class TableSort:
    """A sort of table: a row is called by what stands under ``called_by``."""

    columns: tuple[str, ...]
    called_by: str
    take: Callable[[Desk, Sequence[TableRow], Keep], tuple[Fated, ...]]


INGREDIENTS = TableSort(
    of_ingredients.COLUMNS, of_ingredients.CALLED_BY, of_ingredients.take_over_ingredients
)
LOTS = TableSort(of_lots.COLUMNS, of_lots.CALLED_BY, of_lots.take_over_lots)
