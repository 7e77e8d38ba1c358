"""Take a table of lots over: each is received into quarantine like any delivery."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from formulary.desk import Desk
from formulary.errors import BadText
from formulary.field_text import day_in
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.quantity.writing import exact_amount
from formulary.stock.delivery_text import Arriving, Delivery, read_delivery
from formulary.stock.lot import AssayBasis, SupplyLot
from formulary.taking_over import Changed, Fate, Fated, TableRow, changes_between, is_sound
from formulary.verbs.all_or_nothing import Keep, all_or_nothing
from formulary.verbs.receive_lot import receive_lot

CALLED_BY = "number"
COLUMNS = (
    "ingredient",
    "number",
    "containers",
    "received_on",
    "expiry",
    "in_use",
    "source",
    "strength",
    "supplier",
    "supplier_reason",
    "maker",
    "grade",
    "place",
    "assay",
    "basis",
    "water",
    "loss_on_drying",
    "potency",
    "hazards",
    "allergens",
    "cost",
)
_NEEDED = ("ingredient", "number", "containers")


def take_over_lots(
    desk: Desk, rows: Sequence[TableRow], keep: Keep = is_sound
) -> tuple[Fated, ...]:
    """Receive each row's lot with its containers, all of them or none, and return their fates.

    A lot that is on file already came with an earlier table: it isn't received twice, unless the
    row gives another day of receipt. A controlled substance, which two people sign for, is refused.
    """
    desk.may("receive_lot")
    seen: dict[tuple[str, str], int] = {}

    def take(there: Desk, row: TableRow) -> Fated:
        _require_needed(row)
        ingredient = _ingredient(there, row.texts["ingredient"])
        earlier = seen.setdefault((ingredient.id, row.name), row.line)
        if earlier != row.line:
            raise BadText(message("exchange.table.lot_twice", line=earlier), field=CALLED_BY)
        return _received(there, row, ingredient)

    return all_or_nothing(desk, rows, take, keep)


def _require_needed(row: TableRow) -> None:
    for name in _NEEDED:
        if name not in row.texts:
            raise BadText(message("exchange.table.needed"), field=name)


def _ingredient(desk: Desk, name: str) -> Ingredient:
    wanted = name.casefold()
    for each in desk.store.every(Ingredient):
        if each.name.casefold() == wanted:
            return each
    raise BadText(message("exchange.table.no_ingredient", name=name), field="ingredient")


def _received(desk: Desk, row: TableRow, ingredient: Ingredient) -> Fated:
    day = _day(row, desk.today)
    came = _delivery(desk, row, ingredient, day)
    lots = desk.store.having(SupplyLot, ingredient_id=ingredient.id)
    others = [each for each in lots if each.number == row.name]
    if _is_here(came.lot, others, row):
        return Fated(row.name, Fate.UNCHANGED, row.line)
    kept = receive_lot(desk, came.lot, came.sizes, came.in_use)
    doubts = tuple(each.said for each in kept.doubts)
    return Fated(
        row.name, Fate.NEW, row.line, _held(kept.lot, came, desk.house.decimal_sign), doubts
    )


def _held(lot: SupplyLot, came: Delivery, sign: str) -> tuple[Changed, ...]:
    """Return what was read of a row that could be read otherwise: its figures and its last day."""
    sizes = "; ".join(exact_amount(each, sign) for each in came.sizes)
    held = {"containers": sizes, "expiry": lot.expiry.last_day.isoformat()}
    return changes_between({}, held)


def _day(row: TableRow, today: date) -> date:
    day = day_in(row.texts.get("received_on", ""), "received_on") or today
    if day > today:
        raise BadText(message("exchange.table.not_yet", day=day), field="received_on")
    return day


def _delivery(desk: Desk, row: TableRow, ingredient: Ingredient, day: date) -> Delivery:
    texts = dict.fromkeys(COLUMNS, "") | {
        "source": ingredient.source.value,
        "basis": AssayBasis.AS_IS.value,
    }
    sign = desk.house.decimal_sign
    arriving = Arriving(new_id(), ingredient.id, day, desk.person.name, sign)
    return read_delivery(texts | dict(row.texts), arriving)


def _is_here(lot: SupplyLot, others: Sequence[SupplyLot], row: TableRow) -> bool:
    """Tell whether it is on file. Raises BadText where it is there with another date."""
    if "received_on" in row.texts:
        others = [each for each in others if each.received_on == lot.received_on]
    for other in others:
        if "expiry" in row.texts and other.expiry.last_day != lot.expiry.last_day:
            said = message("exchange.table.other_date", end=other.expiry.last_day)
            raise BadText(said, field="expiry")
    return bool(others)
