"""The house and its people as texts to edit, and back."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeVar

from formulary.catalogue import Catalogue
from formulary.errors import BadText
from formulary.formula.justifying import SpecialRisk
from formulary.house import (
    Balance,
    BenchTask,
    House,
    Instrument,
    InstrumentKind,
    Measure,
    Pack,
    Printer,
    Training,
)
from formulary.ids import new_id
from formulary.messages import message
from formulary.people import Person, Post
from formulary.pins import hash_of
from formulary.quantity.amount import Amount
from formulary.quantity.parsing import parse_amount
from formulary.quantity.writing import exact_text
from formulary.scaling.threshold import parse_threshold
from formulary.shelf_life.house_rules import DraftRules
from ui.forms.fields import NO, YES
from ui.forms.record_model import Row
from ui.settings.backup_fields import backup_plan, backup_texts, number_of
from ui.settings.balance_texts import day_of, weights_of
from ui.settings.date_rules import date_texts, draft_rules, first_day, limit_of, rule_rows
from ui.settings.house_fields import gap_of, months_of, units_outside
from ui.settings.table_columns import offset_text

T = TypeVar("T")
ID = "id"


@dataclass(frozen=True, slots=True)
class Sheet:
    """All of the page as texts: the house's own, and the rows of each table by its name."""

    house: dict[str, str]
    tables: dict[str, list[Row]]


def as_texts(sheet: Sheet) -> dict[str, str]:
    """Return all of a sheet as texts by name, a table as its rows one below another, to compare."""
    tables = {
        name: "\n".join(", ".join(filter(None, _shown(row))) for row in rows)
        for name, rows in sheet.tables.items()
    }
    return sheet.house | tables


def _shown(row: Row) -> tuple[str, ...]:
    return tuple(text for name, text in row.items() if name != ID)


class BadCell(BadText):
    """A row that can't be: ``table``, ``row`` and ``field`` say where."""

    def __init__(self, trouble: BadText, table: str, row: int, name: str) -> None:
        super().__init__(trouble.message, field=name)
        self.table, self.row = table, row


def sheet_of(house: House, people: Sequence[Person], catalogue: Catalogue) -> Sheet:
    """Return the house and its people as texts."""

    def said(amount: Amount) -> str:
        return _plain(catalogue.written(amount))

    return Sheet(
        house={
            "name": house.name,
            "address": "\n".join(house.address),
            "telephone": house.telephone,
            "decimal_sign": house.decimal_sign,
            "zone": house.zone,
            "language": house.language,
            "label_language": house.label_language,
            "lot_prefix": house.lot_prefix,
            "gtin": house.gtin,
            "label_profile": house.label_profile,
            "correction_threshold": _percent(house, catalogue),
            "suppliers": "\n".join(house.suppliers),
            "scan_gap_ms": str(house.scan_gap_ms),
            "review_months": str(house.review_months),
            "permissions": "\n".join(each.value for each in house.permissions),
            **date_texts(house),
            "small_batch_rule": house.small_batch_rule,
            "small_batch_outside": str(house.small_batch_outside or ""),
            **backup_texts(house),
            "people_years": str(house.people_years),
        },
        tables={
            "balances": [_balance_row(each, said) for each in house.balances],
            "measures": [_instrument_row(each, said) for each in house.measures],
            "instruments": [_equipment_row(each) for each in house.instruments],
            "packs": [_pack_row(each, said) for each in house.packs],
            "printers": [_printer_row(each) for each in house.printers],
            "house_rules": rule_rows(house),
            "people": [_person_row(each) for each in people],
            "trainings": [_training_row(each) for each in house.trainings],
        },
    )


def house_of(sheet: Sheet, before: House, sign: str) -> House:
    """Return the house that the texts say, in place of ``before``; amounts are in ``sign``.

    Raises :class:`BadCell` for a row that can't be, and BadText for the rest.
    """
    texts = sheet.house
    tables = sheet.tables
    return replace(
        before,
        name=texts["name"].strip(),
        address=tuple(line.strip() for line in texts["address"].splitlines() if line.strip()),
        telephone=texts["telephone"].strip(),
        decimal_sign=texts["decimal_sign"],
        zone=texts["zone"].strip(),
        language=texts["language"],
        label_language=texts["label_language"],
        lot_prefix=texts["lot_prefix"].strip(),
        gtin=texts["gtin"].strip(),
        label_profile=texts["label_profile"],
        correction_threshold=exact_text(parse_threshold(texts["correction_threshold"], sign)),
        suppliers=tuple(each.strip() for each in texts["suppliers"].splitlines() if each.strip()),
        scan_gap_ms=gap_of(texts["scan_gap_ms"]),
        review_months=months_of(texts["review_months"]),
        permissions=tuple(map(SpecialRisk, texts["permissions"].splitlines())),
        rule_set=texts["rule_set"],
        first_day=first_day(texts),
        balances=_each("balances", tables, lambda row: _balance(row, sign, before)),
        measures=_each("measures", tables, lambda row: Measure(row["name"], *_range(row, sign))),
        small_batch_rule=texts["small_batch_rule"].strip(),
        small_batch_outside=units_outside(texts["small_batch_outside"]),
        instruments=_each("instruments", tables, _equipment),
        trainings=tuple(map(_training, tables["trainings"])),
        packs=_each("packs", tables, lambda row: _pack(row, sign)),
        printers=_each("printers", tables, _printer),
        backups=backup_plan(texts, before),
        people_years=number_of(texts["people_years"]),
    )


def rules_of(sheet: Sheet, before: House) -> DraftRules | None:
    """Return the house's own rules, where they have to be signed anew. Raises :class:`BadCell`."""
    limits = _each("house_rules", sheet.tables, limit_of)
    return draft_rules(sheet.house, limits, before)


def people_of(sheet: Sheet, before: Sequence[Person]) -> tuple[Person, ...]:
    """Return those who are new or changed."""
    known = {each.id: each for each in before}
    wanted = [_person(row, known) for row in sheet.tables["people"]]
    return tuple(each for each in wanted if known.get(each.id) != each)


def _each(name: str, tables: Mapping[str, list[Row]], read: Callable[[Row], T]) -> tuple[T, ...]:
    made: list[T] = []
    seen: set[str] = set()
    for number, row in enumerate(tables[name]):
        try:
            _require_new(row["name"], seen)
            made.append(read(row))
        except BadText as trouble:
            raise BadCell(trouble, name, number, trouble.field or "name") from trouble
        seen.add(row["name"].casefold())
    return tuple(made)


def _require_new(name: str, seen: set[str]) -> None:
    """Refuse a name that stands in the table already: a choice by name needs one of each."""
    if name.casefold() in seen:
        raise BadText(message("ui_settings.same_name", name=name), field="name")


def _range(row: Row, sign: str) -> tuple[Amount, Amount, Amount]:
    capacity, readability, minimum = (
        parse_amount(row[name], sign) for name in ("capacity", "readability", "minimum")
    )
    for name, amount in (("readability", readability), ("minimum", minimum)):
        if amount > capacity:
            said = message("ui_settings.over_capacity", amount=amount, capacity=capacity)
            raise BadText(said, field=name)
    return capacity, readability, minimum


def _balance(row: Row, sign: str, house: House) -> Balance:
    capacity, readability, minimum = _range(row, sign)
    allowed, due = row.get("allowed", "").strip(), row.get("calibration_due", "").strip()
    return Balance(
        row["name"],
        capacity,
        readability,
        minimum,
        row.get("serial", "").strip(),
        day_of(due) if due else None,
        parse_amount(allowed, sign) if allowed else None,
        weights_of(row.get("weights", ""), sign),
        **_line(row["name"], house),
    )


def _line(name: str, house: House) -> dict[str, str]:
    """Return the serial line that a house from before workstations had profiles has on file."""
    for kept in house.balances:
        if kept.name == name:
            return {"port": kept.port, "speed": kept.speed, "pattern": kept.pattern}
    return {}


def _equipment(row: Row) -> Instrument:
    due = row.get("due", "").strip()
    return Instrument(row["name"], InstrumentKind(row["kind"]), day_of(due) if due else None)


def _training(row: Row) -> Training:
    return Training(row["person"], BenchTask(row["task"]), day_of(row["review_due"]))


def _equipment_row(each: Instrument) -> Row:
    due = each.due.isoformat() if each.due else ""
    return {"name": each.name, "kind": each.use.value, "due": due}


def _training_row(each: Training) -> Row:
    due = each.review_due.isoformat()
    return {"person": each.person_id, "task": each.task.value, "review_due": due}


def _pack(row: Row, sign: str) -> Pack:
    brimful = row.get("brimful", "")
    return Pack(
        row["name"],
        parse_amount(row["content"], sign),
        parse_amount(brimful, sign) if brimful else None,
        bool(row.get("protects_from_light", "")),
    )


def _printer(row: Row) -> Printer:
    return Printer(
        row["name"],
        row["queue"],
        int(row["dots_per_inch"]),
        row["stock"],
        offset_text(row.get("offset_right_mm", "")),
        offset_text(row.get("offset_down_mm", "")),
    )


def _person(row: Row, known: Mapping[str, Person]) -> Person:
    before = known.get(row.get(ID, "")) or Person(new_id(), "", Post.READER)
    pin = row.get("new_pin", "")
    return replace(
        before,
        name=row["name"],
        post=Post(row["post"]),
        pin_hash=hash_of(pin) if pin else before.pin_hash,
        gone=bool(row.get("gone", "")),
    )


def _instrument_row(each: Balance | Measure, said: Callable[[Amount], str]) -> Row:
    return {
        "name": each.name,
        "capacity": said(each.capacity),
        "readability": said(each.readability),
        "minimum": said(each.minimum),
    }


def _balance_row(each: Balance, said: Callable[[Amount], str]) -> Row:
    return _instrument_row(each, said) | {
        "serial": each.serial,
        "calibration_due": each.calibration_due.isoformat() if each.calibration_due else "",
        "allowed": said(each.allowed) if each.allowed is not None else "",
        "weights": "; ".join(f"{one.number}: {said(one.nominal)}" for one in each.weights),
    }


def _pack_row(each: Pack, said: Callable[[Amount], str]) -> Row:
    return {
        "name": each.name,
        "content": said(each.content),
        "brimful": said(each.brimful) if each.brimful is not None else "",
        "protects_from_light": YES if each.protects_from_light else NO,
    }


def _printer_row(each: Printer) -> Row:
    return {
        "name": each.name,
        "queue": each.queue,
        "dots_per_inch": str(each.dots_per_inch),
        "stock": each.stock,
        "offset_right_mm": each.offset_right_mm,
        "offset_down_mm": each.offset_down_mm,
    }


def _person_row(each: Person) -> Row:
    gone = YES if each.gone else NO
    return {ID: each.id, "name": each.name, "post": each.post.value, "new_pin": "", "gone": gone}


def _percent(house: House, catalogue: Catalogue) -> str:
    return f"{catalogue.written(Fraction(house.correction_threshold))} %"


def _plain(written: str) -> str:
    return written.replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", " ")
