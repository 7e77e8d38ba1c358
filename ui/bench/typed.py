"""How what is typed at the bench is read: figures off a balance, temperatures, counts."""

from __future__ import annotations

from datetime import date, datetime, time
from fractions import Fraction
from zoneinfo import ZoneInfo

from formulary.errors import BadText
from formulary.messages import message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.parsing import parse_amount
from formulary.quantity.typed_number import parse_number
from formulary.quantity.units import Dimension
from ui.context import Context
from ui.forms.days import day_of
from ui.widgets.quantity_edit import NO_MEANING, Meaning, Understand


def weight(context: Context, text: str, unit: str) -> Amount:
    """Read a figure as the balance shows it: in the unit that stands beside it, or in its own.

    Raises :class:`formulary.errors.BadText` for anything else, and for another kind of unit.
    """
    sign = context.house.decimal_sign
    if not any(each.isalpha() for each in text):
        return Amount(parse_number(text, sign), unit)
    read = parse_amount(text, sign)
    if units.dimension(read.unit) != units.dimension(unit):
        raise BadText(message("ui_bench.other_kind", typed=text.strip(), unit=unit))
    return read


def weight_or_volume(context: Context, text: str) -> Amount:
    """Read an amount with its unit, a mass or a volume above nothing. Raises BadText."""
    read = parse_amount(text, context.house.decimal_sign)
    if units.dimension(read.unit) not in (Dimension.MASS, Dimension.VOLUME) or read.number <= 0:
        raise BadText(message("ui_bench.no_size", typed=text.strip()))
    return read


def a_weight_or_volume(context: Context) -> Understand:
    """Take an amount with its unit, a mass or a volume."""

    def understand(text: str) -> Meaning:
        weight_or_volume(context, text)
        return NO_MEANING

    return understand


def weights(context: Context, text: str, unit: str) -> tuple[Amount, ...]:
    """Read one figure, or "3 x 60 g" as that many of them."""
    count, times, each = text.replace("\N{MULTIPLICATION SIGN}", "x").partition("x")
    if not times:
        return (weight(context, text, unit),)
    if not count.strip().isdecimal() or not 0 < int(count) <= MOST_JARS:
        raise BadText(message("ui_bench.no_count", typed=count.strip()))
    return (weight(context, each, unit),) * int(count)


MOST_JARS = 500


def a_weight(context: Context, unit: str) -> Understand:
    """Take a figure above nothing."""

    def understand(text: str) -> Meaning:
        if weight(context, text, unit).number <= 0:
            raise BadText(message("ui_forms.above_zero", typed=text.strip()))
        return NO_MEANING

    return understand


def or_nothing(understand: Understand) -> Understand:
    """Take nothing at all, or what is understood."""

    def or_empty(text: str) -> Meaning:
        return understand(text) if text.strip() else NO_MEANING

    return or_empty


def a_weight_or_none(context: Context, unit: str) -> Understand:
    """Take a figure that isn't below nothing."""

    def understand(text: str) -> Meaning:
        if weight(context, text, unit).number < 0:
            raise BadText(message("ui_forms.above_zero", typed=text.strip()))
        return NO_MEANING

    return understand


def some_weights(context: Context, unit: str) -> Understand:
    """Take one figure, or a number of equal ones."""

    def understand(text: str) -> Meaning:
        if weights(context, text, unit)[0].number <= 0:
            raise BadText(message("ui_forms.above_zero", typed=text.strip()))
        return NO_MEANING

    return understand


def number(context: Context, text: str) -> Fraction:
    """Read a number such as a temperature or a pH, a minus before it allowed."""
    bare = text.strip()
    minus = bare[:1] in ("-", "\N{MINUS SIGN}")
    read = parse_number(bare[1:] if minus else bare, context.house.decimal_sign)
    return -read if minus else read


def a_number(context: Context) -> Understand:
    """Take a number."""

    def understand(text: str) -> Meaning:
        number(context, text)
        return NO_MEANING

    return understand


def count(text: str) -> int:
    """Read a whole number of pieces, none included."""
    if not text.strip().isdecimal():
        raise BadText(message("ui_bench.no_count", typed=text.strip()))
    return int(text)


def a_count(text: str) -> Meaning:
    """Take a whole number of pieces."""
    count(text)
    return NO_MEANING


def moment(context: Context, text: str, made_on: date) -> datetime:
    """Read a time of the day on which something was made, or a day and a time."""
    on, _, at = text.strip().rpartition(" ")
    try:
        clock = time.fromisoformat(at)
    except ValueError:
        raise BadText(message("ui_bench.no_time", typed=text.strip())) from None
    if clock.tzinfo is not None:
        raise BadText(message("ui_bench.no_time", typed=text.strip()))
    zone = ZoneInfo(context.house.zone)
    return datetime.combine(day_of(on) if on else made_on, clock, zone)


def a_moment(context: Context, made_on: date) -> Understand:
    """Take a time; the day that it falls on stands below."""

    def understand(text: str) -> Meaning:
        return Meaning(message("ui_bench.said", what=moment(context, text, made_on)))

    return understand
