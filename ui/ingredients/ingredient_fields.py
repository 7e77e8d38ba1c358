"""The fields of an ingredient's editor."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from formulary.catalogue import keys_under
from formulary.field_text import day_in, lines_of
from formulary.ingredient import Matter
from formulary.monograph_text import degrees_of, ph_range
from formulary.orders.dose_text import parse_dose_limit
from formulary.quantity.units import Dimension
from formulary.review.usual import parse_usual_range
from formulary.scaling.factor_range import parse_factor_range
from formulary.stock.lot import Source
from ui.context import Context
from ui.forms import understanding
from ui.forms.fields import FormField, Kind
from ui.widgets.quantity_edit import NO_MEANING, Meaning, Understand

_WARNINGS = "label.warning"


def ingredient_fields(context: Context) -> tuple[FormField, ...]:
    """Return the fields of the editor, in reading order."""
    small = understanding.amount(context, Dimension.MASS, Dimension.VOLUME)
    return (
        FormField("name", required=True),
        FormField("latin"),
        FormField("synonyms", Kind.TEXT, hint=True),
        FormField("matter", Kind.CHOICE, choices=_matters(context)),
        FormField("density", understand=understanding.density(context), hint=True),
        FormField("density_source"),
        FormField("density_at"),
        FormField("drop", understand=small, hint=True),
        FormField("potency", understand=understanding.number(context), hint=True),
        FormField("factor_range", understand=_factor_range(context), hint=True),
        FormField("usual", understand=_usual_range(context), hint=True),
        FormField("usual_source"),
        FormField("doses_a_day", Kind.TEXT, understand=_dose_limits(context), hint=True),
        FormField("warnings", Kind.CHECKS, choices=_warnings(context)),
        FormField("note", Kind.TEXT),
        *_alert_fields(context),
        *_handling_fields(),
        *_storage_fields(),
        *_monograph_fields(context),
    )


def _alert_fields(context: Context) -> tuple[FormField, ...]:
    """Return what it is bought as, and what the bench is warned of."""
    return (
        FormField("source", Kind.CHOICE, choices=_sources(context)),
        FormField("strength", hint=True),
        FormField("high_alert", Kind.FLAG, hint=True),
        FormField("double_check", Kind.FLAG, hint=True),
        FormField("controlled", Kind.FLAG, hint=True),
        FormField("look_alikes", Kind.TEXT, hint=True),
        FormField("hazards", Kind.TEXT, hint=True),
        FormField("allergens", Kind.TEXT, hint=True),
    )


def _handling_fields() -> tuple[FormField, ...]:
    return (
        FormField("listings", Kind.TEXT, hint=True),
        FormField("precautions", Kind.TEXT),
        FormField("handling_reviewed", understand=a_day),
    )


def _storage_fields() -> tuple[FormField, ...]:
    return (
        FormField("lowest", understand=a_degree),
        FormField("highest", understand=a_degree),
        FormField("do_not_freeze", Kind.FLAG),
        FormField("protect_from_light", Kind.FLAG),
        FormField("keep_dry", Kind.FLAG),
    )


def _monograph_fields(context: Context) -> tuple[FormField, ...]:
    number = understanding.number(context)
    return (
        FormField("cas", hint=True),
        FormField("formula", hint=True),
        FormField("molecular_mass", understand=number),
        FormField("parent"),
        FormField("parent_factor", understand=number, hint=True),
        FormField("melting"),
        FormField("solubility", Kind.TEXT),
        FormField("ph", understand=a_ph_range(context.house.decimal_sign), hint=True),
        FormField("concentrations", Kind.TEXT, hint=True),
        FormField("doses", Kind.TEXT, hint=True),
        FormField("displacement", understand=number, hint=True),
        FormField("tariffs", Kind.TEXT),
        FormField("source_of_facts", hint=True),
    )


def _sources(context: Context) -> Callable[[], Sequence[tuple[str, str]]]:
    return lambda: [(context.text(f"stock.source.{each.value}"), each.value) for each in Source]


def _factor_range(context: Context) -> Understand:
    def understand(text: str) -> Meaning:
        parse_factor_range(text, context.house.decimal_sign)
        return NO_MEANING

    return understand


def _usual_range(context: Context) -> Understand:
    def understand(text: str) -> Meaning:
        # Its source is asked for when the ingredient is kept.
        parse_usual_range(text, context.house.decimal_sign, source="typed later")
        return NO_MEANING

    return understand


def _dose_limits(context: Context) -> Understand:
    def understand(text: str) -> Meaning:
        for line in lines_of(text):
            parse_dose_limit(line, context.house.decimal_sign)
        return NO_MEANING

    return understand


def _matters(context: Context) -> Callable[[], Sequence[tuple[str, str]]]:
    return lambda: [
        (context.text(f"ui_ingredients.matter.{each.value}"), each.value) for each in Matter
    ]


def _warnings(context: Context) -> Callable[[], Sequence[tuple[str, str]]]:
    return lambda: [
        (context.text(key), key.removeprefix(f"{_WARNINGS}.")) for key in keys_under(_WARNINGS)
    ]


def a_day(text: str) -> Meaning:
    """Take a day in ISO 8601."""
    day_in(text, "day")
    return NO_MEANING


def a_degree(text: str) -> Meaning:
    """Take whole degrees Celsius."""
    degrees_of(text, "degrees")
    return NO_MEANING


def a_ph_range(sign: str) -> Understand:
    """Take two figures from the lower to the higher."""

    def understand(text: str) -> Meaning:
        ph_range(text, sign)
        return NO_MEANING

    return understand
