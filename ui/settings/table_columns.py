"""The columns of the house's tables: what stands in a row, and how it is understood."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal, InvalidOperation

from formulary.errors import BadText
from formulary.house import BenchTask, InstrumentKind
from formulary.labels.stock import LabelStock, label_stocks
from formulary.messages import message
from formulary.people import Post
from formulary.pins import require_sound
from formulary.quantity.units import Dimension
from formulary.verbs.stocks_of_house import stock_among
from ui.context import Context
from ui.forms import understanding
from ui.forms.fields import FormField, Kind
from ui.settings.balance_texts import day_of, weights_of
from ui.settings.date_rules import rule_columns
from ui.widgets.quantity_edit import NO_MEANING, Meaning, Understand

LEAST_DOTS, MOST_DOTS = 150, 1200
Columns = tuple[FormField, ...]
Stocks = Callable[[], Iterable[LabelStock]]


def table_fields(context: Context, stocks: Stocks = label_stocks) -> dict[str, Columns]:
    """Return the columns of each table, by its name; printers print on one of the ``stocks``."""
    return {
        "balances": _balances(context),
        "measures": _measures(context),
        "instruments": _instruments(context),
        "packs": _packs(context),
        "printers": _printers(stocks),
        "house_rules": rule_columns(context),
        "people": _staff(context),
        "trainings": _trainings(context),
    }


def _balances(context: Context) -> Columns:
    mass = understanding.amount(context, Dimension.MASS)
    return (
        FormField("name", required=True),
        FormField("capacity", understand=mass, required=True),
        FormField("readability", understand=mass, required=True),
        FormField("minimum", understand=mass, required=True),
        FormField("serial"),
        FormField("calibration_due", understand=_day),
        FormField("allowed", understand=mass),
        FormField("weights", understand=_weights(context)),
    )


def _measures(context: Context) -> Columns:
    volume = understanding.amount(context, Dimension.VOLUME)
    return (
        FormField("name", required=True),
        FormField("capacity", understand=volume, required=True),
        FormField("readability", understand=volume, required=True),
        FormField("minimum", understand=volume, required=True),
    )


def _instruments(context: Context) -> Columns:
    return (
        FormField("name", required=True),
        FormField("kind", Kind.CHOICE, choices=lambda: _kinds(context)),
        FormField("due", understand=_day),
    )


def _packs(context: Context) -> Columns:
    content = understanding.amount(context, Dimension.MASS, Dimension.VOLUME, Dimension.PIECES)
    return (
        FormField("name", required=True),
        FormField("content", understand=content, required=True),
        FormField("brimful", understand=understanding.amount(context, Dimension.VOLUME)),
        FormField("protects_from_light", Kind.FLAG),
    )


def _printers(stocks: Stocks) -> Columns:
    return (
        FormField("name", required=True),
        FormField("queue", required=True),
        FormField("dots_per_inch", understand=_dots, required=True, at_first="203"),
        FormField("stock", understand=_stock(stocks), required=True, at_first="70x35"),
        FormField("offset_right_mm", understand=_offset, at_first="0"),
        FormField("offset_down_mm", understand=_offset, at_first="0"),
    )


def _staff(context: Context) -> Columns:
    return (
        FormField("name", required=True),
        FormField("post", Kind.CHOICE, choices=lambda: _posts(context)),
        FormField("new_pin", understand=_pin),
        FormField("gone", Kind.FLAG),
    )


def _trainings(context: Context) -> Columns:
    return (
        FormField("person", Kind.CHOICE, choices=lambda: _people(context)),
        FormField("task", Kind.CHOICE, choices=lambda: _tasks(context)),
        FormField("review_due", understand=_day, required=True),
    )


def offset_text(typed: str) -> str:
    """Return a printer's offset in mm as it is kept. Raises BadText for what is none."""
    try:
        offset = Decimal(typed.strip().replace(",", ".").replace("\N{MINUS SIGN}", "-") or "0")
    except InvalidOperation as trouble:
        raise BadText(message("label.bad_offset", typed=typed)) from trouble
    if not offset.is_finite():
        raise BadText(message("label.bad_offset", typed=typed))
    return f"{offset:f}"


def _posts(context: Context) -> Sequence[tuple[str, str]]:
    return [(context.text(f"ui.post.{each.value}"), each.value) for each in Post]


def _kinds(context: Context) -> Sequence[tuple[str, str]]:
    return [
        (context.text(f"ui_settings.kind.{each.name.lower()}"), each.value)
        for each in InstrumentKind
    ]


def _people(context: Context) -> Sequence[tuple[str, str]]:
    return [(each.name, each.id) for each in context.people if not each.gone]


def _tasks(context: Context) -> Sequence[tuple[str, str]]:
    return [(context.text(f"equipment.task.{each.name.lower()}"), each.value) for each in BenchTask]


def _pin(text: str) -> Meaning:
    if text:
        require_sound(text)
    return NO_MEANING


def _day(text: str) -> Meaning:
    if text:
        day_of(text)
    return NO_MEANING


def _weights(context: Context) -> Understand:
    def understand(text: str) -> Meaning:
        weights_of(text, context.house.decimal_sign)
        return NO_MEANING

    return understand


def _dots(text: str) -> Meaning:
    if not (text.isascii() and text.isdecimal() and LEAST_DOTS <= int(text) <= MOST_DOTS):
        raise BadText(message("ui_settings.bad_dots", typed=text, least=LEAST_DOTS, most=MOST_DOTS))
    return NO_MEANING


def _stock(stocks: Stocks) -> Understand:
    def understand(text: str) -> Meaning:
        stock_among(stocks(), text)
        return NO_MEANING

    return understand


def _offset(text: str) -> Meaning:
    offset_text(text)
    return NO_MEANING
