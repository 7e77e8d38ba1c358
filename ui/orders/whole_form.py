"""What a person settles about a whole one-off: form, storage, shelf life, how much is made."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from formulary.errors import BadText
from formulary.formula.content import Content, Form, Route, ShelfLife, Storage
from formulary.formula.periods import parse_period
from formulary.messages import Message, message
from formulary.prescription.composing import Chosen, prescribed_amount, title_of
from formulary.prescription.lines import Prescription
from formulary.quantity.writing import NO_BREAK_SPACE
from formulary.scaling.target import parse_target
from formulary.verbs.look_up_order import OrderSeen
from formulary.verbs.read_prescription import so_far
from ui.context import Context
from ui.forms.fields import FormField, Kind
from ui.forms.understanding import label_text, period
from ui.widgets.quantity_edit import NO_MEANING, Meaning

_COLDEST, _HOTTEST = -40, 60
UNREAD = ""


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
        FormField("lasts", understand=period, required=True, hint=True),
        FormField("lasts_opened", understand=period),
        FormField("reference", required=True, hint=True),
        FormField("target", understand=target, required=True),
        FormField("directions", Kind.TEXT, label_text),
    )


def proposed(context: Context, prescription: Prescription, seen: OrderSeen) -> dict[str, str]:
    """Return what the prescription and the order say of the whole, to be looked at and changed."""
    sign = context.house.decimal_sign
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


def kept_as(content: Content, values: Mapping[str, str]) -> Content:
    """Return the content with how it is kept and how long it lasts."""
    opened = values["lasts_opened"].strip()
    return replace(
        content,
        storage=Storage(highest=int(values["below"]), protect_from_light=bool(values["light"])),
        shelf_life=ShelfLife(
            parse_period(values["lasts"]),
            parse_period(opened) if opened else None,
            reference=values["reference"].strip(),
        ),
    )


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
