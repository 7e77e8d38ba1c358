"""The fields of the house itself."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache
from zoneinfo import available_timezones

from formulary.errors import BadText
from formulary.formula.justifying import SpecialRisk
from formulary.labels.gs1 import gtin14
from formulary.messages import message
from formulary.scaling.threshold import parse_threshold
from formulary.wording.label_profile import NEUTRAL, label_profiles
from ui.context import Context
from ui.forms import understanding
from ui.forms.fields import FormField, Kind
from ui.forms.languages import language_choices
from ui.widgets.quantity_edit import NO_MEANING, Meaning, Understand

MOST_OUTSIDE = 20
MOST_MONTHS = 120
MOST_GAP_MS = 50
_PREFIX = re.compile(r"[A-Za-z0-9]{0,4}")


def name_fields() -> tuple[FormField, ...]:
    """Return what stands on labels of the house itself."""
    return (
        FormField("name", required=True),
        FormField("address", Kind.TEXT, hint=True),
        FormField("telephone"),
    )


def writing_fields(context: Context) -> tuple[FormField, ...]:
    """Return how numbers, dates, lots and texts are written."""
    of_window, of_labels = language_choices(context, "ui"), language_choices(context, "label")
    zone = understanding.one_of(zones, "ui_settings.no_zone")
    return (
        FormField("decimal_sign", Kind.CHOICE, choices=lambda: _signs(context)),
        FormField("zone", understand=zone, required=True, hint=True, offered=zones),
        FormField("language", Kind.CHOICE, choices=lambda: of_window, hint=True),
        FormField("label_language", Kind.CHOICE, choices=lambda: of_labels),
        FormField("lot_prefix", understand=_prefix, hint=True),
        FormField("gtin", understand=_gtin, hint=True),
        FormField("label_profile", Kind.CHOICE, choices=_profiles, hint=True),
    )


def weighing_fields(context: Context) -> tuple[FormField, ...]:
    """Return what scaling does with the certificate of a lot, and where lots come from."""
    threshold = _threshold(context)
    return (
        FormField("correction_threshold", understand=threshold, required=True, hint=True),
        FormField("suppliers", Kind.TEXT, hint=True),
        FormField("scan_gap_ms", understand=_gap, required=True, hint=True),
        FormField("small_batch_rule", hint=True),
        FormField("small_batch_outside", understand=_few, hint=True),
    )


def review_fields(context: Context) -> tuple[FormField, ...]:
    """Return when a formula in use is looked at again, and what the house may make."""

    def permissions() -> list[tuple[str, str]]:
        area = "formula.special_risk"
        return [(context.text(f"{area}.{each.name.lower()}"), each.value) for each in SpecialRisk]

    return (
        FormField("review_months", understand=_months, required=True, hint=True),
        FormField("permissions", Kind.CHECKS, choices=permissions, hint=True),
    )


@cache
def zones() -> tuple[str, ...]:
    """Return the names of the time zones, those of places first."""
    return tuple(sorted(available_timezones(), key=lambda name: ("/" not in name, name)))


def _signs(context: Context) -> Sequence[tuple[str, str]]:
    return (
        (context.text("ui_settings.sign.point"), "."),
        (context.text("ui_settings.sign.comma"), ","),
    )


def _profiles() -> Sequence[tuple[str, str]]:
    return [(e.title, "" if e.code == NEUTRAL else e.code) for e in label_profiles()]


def _few(text: str) -> Meaning:
    units_outside(text)
    return NO_MEANING


def units_outside(text: str) -> int:
    """Return how many units of a small batch may lie outside; nothing typed is none."""
    typed = text.strip() or "0"
    if not (typed.isascii() and typed.isdecimal() and int(typed) < MOST_OUTSIDE):
        raise BadText(message("ui_settings.bad_outside", typed=text))
    return int(typed)


def _prefix(text: str) -> Meaning:
    if not _PREFIX.fullmatch(text.strip()):
        raise BadText(message("ui_settings.bad_prefix", typed=text))
    return NO_MEANING


def _threshold(context: Context) -> Understand:
    def understand(text: str) -> Meaning:
        parse_threshold(text, context.house.decimal_sign)
        return NO_MEANING

    return understand


def months_of(typed: str) -> int:
    """Return the months between two reviews, 0 for never. Raises BadText for what is neither."""
    text = typed.strip()
    if not (text.isascii() and text.isdecimal() and int(text) <= MOST_MONTHS):
        raise BadText(message("ui_settings.bad_months", typed=typed, most=MOST_MONTHS))
    return int(text)


def gap_of(typed: str) -> int:
    """Return the milliseconds between a scanner's characters. Raises BadText for any other text."""
    text = typed.strip()
    if not (text.isascii() and text.isdecimal() and int(text) <= MOST_GAP_MS):
        raise BadText(message("ui_settings.bad_gap", typed=typed, most=MOST_GAP_MS))
    return int(text)


def _gap(text: str) -> Meaning:
    gap_of(text)
    return NO_MEANING


def _months(text: str) -> Meaning:
    months_of(text)
    return NO_MEANING


def _gtin(text: str) -> Meaning:
    if text:
        gtin14(text)
    return NO_MEANING
