"""``misce equipment`` and ``misce reconstitute``: the log of instruments, and light records."""

from __future__ import annotations

from argparse import Namespace
from datetime import date
from fractions import Fraction
from typing import Any

from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.equipment import EquipmentNote, Noted
from formulary.errors import BadText
from formulary.messages import message
from formulary.quantity.parsing import parse_amount
from formulary.quantity.typed_number import parse_number
from formulary.quantity.writing import exact_text
from formulary.reconstitution import Reconstitution
from formulary.verbs.note_equipment import note_equipment
from formulary.verbs.reconstitute import MadeUp, made_up, reconstitute


def noted(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Write an entry into the log, or list the log, newest first."""
    if options.what is None:
        entries = sorted(desk.store.every(EquipmentNote), key=lambda each: each.at, reverse=True)
    else:
        sign = desk.house.decimal_sign
        entry = note_equipment(
            desk,
            options.subject,
            Noted(options.what),
            degrees=_number(options.degrees, sign),
            humidity=_number(options.humidity, sign),
            note=options.note,
        )
        entries = [entry]
    lines = [catalogue.text(each.said) for each in entries]
    return [_entry(each) for each in entries], lines or [catalogue.text("command.equipment.none")]


def _entry(each: EquipmentNote) -> dict[str, Any]:
    return {
        "subject": each.subject or None,
        "what": each.what.value,
        "at": each.at.isoformat(),
        "person": each.person,
        "degrees": None if each.degrees is None else exact_text(each.degrees),
        "humidity": None if each.humidity is None else exact_text(each.humidity),
        "note": each.note,
    }


def _number(text: str, sign: str) -> Fraction | None:
    bare = text.strip()
    if not bare:
        return None
    minus = bare.startswith("-")
    read = parse_number(bare.removeprefix("-"), sign)
    return -read if minus else read


def made(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Keep a light record of a product made up by its label, or list what was made up."""
    if options.product is None:
        records = list(made_up(desk.store))
    else:
        said = MadeUp(
            product=options.product,
            maker_lot=options.maker_lot,
            expiry=_day(options.expiry),
            diluent=options.diluent,
            volume=parse_amount(options.volume, desk.house.decimal_sign),
            use_by=_day(options.use_by),
            by_label=options.by_label,
            strength=options.strength,
            order=options.order,
        )
        records = [reconstitute(desk, said)]
    lines = [_said(each, catalogue) for each in records]
    none = catalogue.text("command.reconstitute.none")
    return [_record(each) for each in records], lines or [none]


def _said(each: Reconstitution, catalogue: Catalogue) -> str:
    return catalogue.text(
        message(
            "command.reconstitute.line",
            product=each.product,
            maker_lot=each.maker_lot,
            volume=each.volume,
            diluent=each.diluent,
            use_by=each.use_by,
            person=each.person,
            at=each.at,
        )
    )


def _record(each: Reconstitution) -> dict[str, Any]:
    return {
        "day": each.day,
        "product": each.product,
        "maker_lot": each.maker_lot,
        "expiry": each.expiry.isoformat(),
        "diluent": each.diluent,
        "volume": Catalogue().written(each.volume),
        "strength": each.strength,
        "use_by": each.use_by.isoformat(),
        "by_label": each.by_label,
        "order": each.order,
        "person": each.person,
    }


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text.strip())
    except ValueError as trouble:
        raise BadText(message("command.transcribe.no_day", typed=text)) from trouble
