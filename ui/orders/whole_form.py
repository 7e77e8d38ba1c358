"""What a person settles about a whole one-off: form, storage, shelf life, how much is made."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from formulary.errors import BadText
from formulary.formula.content import Content, Form, Route, ShelfLife, Storage
from formulary.formula.fields import parse_activity
from formulary.formula.periods import parse_period
from formulary.formula.stability import Water, WaterClass
from formulary.messages import Message, message
from formulary.prescription.composing import Chosen, prescribed_amount, title_of
from formulary.quantity.writing import NO_BREAK_SPACE
from formulary.scaling.target import parse_target
from formulary.verbs.look_up_order import OrderSeen
from formulary.verbs.read_prescription import Proposed, so_far
from ui.context import Context
from ui.forms.fields import FormField, Kind
from ui.forms.understanding import label_text, period
from ui.widgets.quantity_edit import NO_MEANING, Meaning, Understand

_COLDEST, _HOTTEST = -40, 60
UNREAD, MEASURED = "", "measured"


def fields(context: Context) -> tuple[FormField, ...]:
    """Return the fields of the whole."""
    sign = context.house.decimal_sign

    def target(text: str) -> Meaning:
        parse_target(text, sign)
        return NO_MEANING

    return (
        FormField("title", required=True),
        FormField("form", Kind.CHOICE, choices=lambda: _forms(context), required=True),
        FormField("route", Kind.CHOICE, choices=lambda: _routes(context), required=True),
        FormField("units", understand=_units, hint=True),
        FormField("unit_name"),
        FormField("below", understand=_below, required=True, hint=True),
        FormField("light", Kind.FLAG),
        FormField("water", Kind.CHOICE, choices=lambda: _waters(context), required=True, hint=True),
        FormField("activity", understand=_activity(sign), hint=True),
        FormField("activity_source"),
        FormField("lasts", understand=period, required=True, hint=True),
        FormField("lasts_opened", understand=period),
        FormField("reference", required=True, hint=True),
        FormField("target", understand=target, required=True),
        FormField("directions", Kind.TEXT, label_text),
    )


def proposed(context: Context, read: Proposed, seen: OrderSeen) -> dict[str, str]:
    """Return what the prescription and the order say of the whole, to be looked at and changed."""
    sign, prescription = context.house.decimal_sign, read.prescription
    content = so_far(prescription, sign)
    amount = prescribed_amount(content) if content is not None else None
    units = prescription.units
    if units is not None:
        wanted = str(units)
    else:
        wanted = "" if amount is None else context.catalogue.written(amount)
    title = context.said(title_of(content.lines, content.form)) if content is not None else ""
    return {
        "title": title,
        "form": prescription.form.value if prescription.form else UNREAD,
        "route": prescription.route.value if prescription.route else UNREAD,
        "units": str(units or ""),
        "water": read.water.value if read.water else UNREAD,
        "target": seen.order.target or wanted.replace(NO_BREAK_SPACE, " "),
        "directions": seen.order.directions or prescription.directions,
    }


def chosen(values: Mapping[str, str], code: str, settled: Sequence[Message]) -> Chosen:
    """Return what was settled about the whole."""
    units = values["units"].strip()
    return Chosen(
        title=values["title"].strip(),
        code=code,
        form=Form(values["form"]),
        route=Route(values["route"]),
        units=int(units) if units else None,
        unit_name=values["unit_name"].strip(),
        settled=tuple(settled),
    )


def kept_as(context: Context, content: Content, values: Mapping[str, str]) -> Content:
    """Return the content with the water in it, how it is kept and how long it lasts.

    Raises :class:`formulary.errors.BadText` for a measured activity without figure or source.
    """
    opened = values["lasts_opened"].strip()
    return replace(
        content,
        water=_water(context, values),
        storage=Storage(highest=int(values["below"]), protect_from_light=bool(values["light"])),
        shelf_life=ShelfLife(
            parse_period(values["lasts"]),
            parse_period(opened) if opened else None,
            reference=values["reference"].strip(),
        ),
    )


def _water(context: Context, values: Mapping[str, str]) -> Water:
    if values["water"] != MEASURED:
        source = context.text("ui_orders.water_by_composition")
        return Water(WaterClass(values["water"]), source=source)
    activity, source = values["activity"].strip(), values["activity_source"].strip()
    for name, text in (("activity", activity), ("activity_source", source)):
        if not text:
            raise BadText(message("ui_orders.activity_missing"), field=name)
    return Water(activity=parse_activity(activity, context.house.decimal_sign), source=source)


def _activity(sign: str) -> Understand:
    def understand(text: str) -> Meaning:
        parse_activity(text, sign)
        return NO_MEANING

    return understand


def _waters(context: Context) -> list[tuple[str, str]]:
    named = [
        (context.text(f"ui_orders.water.{each.name.lower()}"), each.value) for each in WaterClass
    ]
    measured = (context.text("ui_orders.water.measured"), MEASURED)
    return [(context.text("ui_orders.not_chosen"), UNREAD), *named, measured]


def _forms(context: Context) -> list[tuple[str, str]]:
    named = [(context.text(f"formula.form.{each.name.lower()}"), each.value) for each in Form]
    return [(context.text("ui_orders.not_chosen"), UNREAD), *named]


def _routes(context: Context) -> list[tuple[str, str]]:
    named = [(context.text(f"formula.route.{each.name.lower()}"), each.value) for each in Route]
    return [(context.text("ui_orders.not_chosen"), UNREAD), *named]


def _units(text: str) -> Meaning:
    if not text.strip().isdecimal() or int(text) == 0:
        raise BadText(message("ui_orders.whole_units", typed=text.strip()))
    return NO_MEANING


def _below(text: str) -> Meaning:
    try:
        degrees = int(text)
    except ValueError:
        degrees = _HOTTEST + 1
    if not _COLDEST <= degrees <= _HOTTEST:
        raise BadText(message("ui_orders.whole_degrees", typed=text.strip()))
    return NO_MEANING
