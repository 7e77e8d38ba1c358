"""The sample pharmacy's stock, read from TOML; its days are counted from the day it is made."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

from formulary.formula.content import Period, Span
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.people import Person
from formulary.quantity.amount import Amount
from formulary.quantity.money import Money
from formulary.quantity.parsing import parse_amount, parse_concentration, parse_number
from formulary.signing import Meaning, Signature
from formulary.stock.container import IdentityCheck, StockContainer
from formulary.stock.cost import UnitCost
from formulary.stock.counting import CountedGood, Sort, pieces
from formulary.stock.expiry import Expiry, assigned, in_month
from formulary.stock.lot import (
    Analysis,
    AssayBasis,
    Attachment,
    Halt,
    LotStrength,
    Source,
    Status,
    Stop,
    SupplyLot,
)
from formulary.stock.moves import Cause, StockMove
from formulary.stock.shelf import Level
from formulary.verbs.build_house import Shipment

_NOON = time(12)
_DECIDED_AFTER = timedelta(days=2)
_CURRENCY = "GBP"


@dataclass(frozen=True, slots=True)
class Setting:
    """Where and when the sample's stock stands: its people, ingredients, day and certificate.

    Where it is ``untouched``, no container was opened or counted yet, and nothing is recalled.
    """

    pharmacist: Person
    technician: Person
    ingredients: Sequence[Ingredient]
    today: date
    zone: ZoneInfo
    certificate: bytes
    untouched: bool = False

    def signed(self, person: Person, meaning: Meaning, day: date) -> Signature:
        """Return a signature of somebody at noon of a day."""
        return Signature(person.id, person.name, person.post.value, meaning, self.at(day))

    def both(self, lot: SupplyLot, day: date) -> tuple[Signature, ...]:
        """Return the two signatures under a change of a controlled substance's book."""
        if not any(each.id == lot.ingredient_id and each.controlled for each in self.ingredients):
            return ()
        return (
            self.signed(self.technician, Meaning.MADE, day),
            self.signed(self.pharmacist, Meaning.WITNESSED, day),
        )

    def at(self, day: date) -> datetime:
        """Return noon of a day."""
        return datetime.combine(day, _NOON, self.zone)

    def ago(self, days: int) -> date:
        """Return the day so many days before."""
        return self.today - timedelta(days=days)

    def named(self, name: str) -> str:
        """Return the id of the ingredient of that name."""
        return next(each.id for each in self.ingredients if each.name == name)


def shipments(table: Mapping[str, Any], setting: Setting) -> tuple[Shipment, ...]:
    """Return every lot of the table with its containers and what happened to them."""
    return tuple(_shipment(each, setting) for each in table["lot"])


def levels(table: Mapping[str, Any], setting: Setting) -> tuple[Level, ...]:
    """Return the least of each ingredient that is wanted."""
    return tuple(
        Level(new_id(), setting.named(each["ingredient"]), parse_amount(each["least"]))
        for each in table["level"]
    )


def goods(table: Mapping[str, Any], setting: Setting) -> tuple[tuple[CountedGood, StockMove], ...]:
    """Return the counted goods, each with the count it begins with."""
    return tuple(_good(each, setting) for each in table["good"])


def _good(table: Mapping[str, Any], setting: Setting) -> tuple[CountedGood, StockMove]:
    good = CountedGood(
        new_id(),
        table["name"],
        Sort(table["sort"]),
        table["least"],
        table["number"],
        table["supplier"],
        table["place"],
    )
    received = _move(setting, good.id, pieces(table["pieces"]), (Cause.RECEIVED, setting.ago(60)))
    return good, received


def _shipment(table: Mapping[str, Any], setting: Setting) -> Shipment:
    lot = _lot(table, setting)
    containers = tuple(_container(each, lot, table, setting) for each in table["containers"])
    moves = [
        move
        for each, full in zip(table["containers"], containers, strict=True)
        for move in _moves(each, full, lot, setting)
    ]
    return Shipment(lot, containers, tuple(moves))


def _lot(table: Mapping[str, Any], setting: Setting) -> SupplyLot:
    received = setting.ago(table["received"])
    status = Status(table.get("status", Status.ACCEPTED.value))
    decided = setting.signed(
        setting.pharmacist,
        Meaning.REJECTED if status is Status.REJECTED else Meaning.ACCEPTED,
        min(received + _DECIDED_AFTER, setting.today),
    )
    price = table.get("price")
    return SupplyLot(
        id=new_id(),
        ingredient_id=setting.named(table["ingredient"]),
        number=table["number"],
        source=Source(table.get("source", Source.SUBSTANCE.value)),
        received_on=received,
        expiry=_expiry(table, received, setting),
        supplier=table["supplier"],
        maker=table["maker"],
        grade=table["grade"],
        strength=strength_of(table),
        status=status,
        stop=_stop(table, setting),
        attachment=None if status is Status.QUARANTINE else _attachment(table, setting),
        analysis=_analysis(table),
        place=table["place"],
        hazards=tuple(table.get("hazards", ())),
        allergens=tuple(table.get("allergens", ())),
        cost=_cost(price, table["per"]) if price else None,
        decision=None if status is Status.QUARANTINE else decided,
        decision_reason=table.get("reason", ""),
    )


def _expiry(table: Mapping[str, Any], received: date, setting: Setting) -> Expiry:
    if "expires_month" in table:
        months = setting.today.year * 12 + setting.today.month - 1 + table["expires_month"]
        return in_month(months // 12, months % 12 + 1)
    if table.get("no_date"):
        return assigned(received, setting.pharmacist.name).result
    return Expiry(setting.today + timedelta(days=table["expires"]))


def strength_of(table: Mapping[str, Any]) -> LotStrength | None:
    """Return the strength of a concentrate, tablet or capsule, if one is written."""
    text = table.get("strength", "")
    if not text:
        return None
    if Source(table["source"]) is Source.UNITS:
        return parse_amount(text)
    return parse_concentration(text)


def _stop(table: Mapping[str, Any], setting: Setting) -> Stop | None:
    if "stop" not in table or (setting.untouched and Halt(table["stop"]) is Halt.RECALLED):
        return None
    signed = setting.signed(setting.pharmacist, Meaning.DECIDED, setting.ago(3))
    return Stop(Halt(table["stop"]), table["stop_reason"], signed)


def _attachment(table: Mapping[str, Any], setting: Setting) -> Attachment:
    sha256 = hashlib.sha256(setting.certificate).hexdigest()
    return Attachment(f"{table['number']}.pdf", sha256, "application/pdf")


def _analysis(table: Mapping[str, Any]) -> Analysis:
    figures = {
        name: parse_number(table[name], ".") if name in table else None
        for name in ("assay", "water", "loss_on_drying", "potency")
    }
    return Analysis(basis=AssayBasis(table.get("basis", AssayBasis.AS_IS.value)), **figures)


def _cost(price: str, per: str) -> UnitCost:
    return UnitCost(Money(Fraction(price), _CURRENCY), parse_amount(per))


def _container(
    each: Mapping[str, Any], lot: SupplyLot, table: Mapping[str, Any], setting: Setting
) -> StockContainer:
    months = table.get("in_use_months")
    return StockContainer(
        id=new_id(),
        number="",
        lot_id=lot.id,
        size=parse_amount(each["size"]),
        place=lot.place,
        identity=_identity(lot, setting) if each.get("identified", True) else None,
        in_use=Period(months, Span.MONTHS) if months else None,
        opened_on=_opened_on(each, setting),
    )


def _opened_on(each: Mapping[str, Any], setting: Setting) -> date | None:
    return None if setting.untouched or "opened" not in each else setting.ago(each["opened"])


def _identity(lot: SupplyLot, setting: Setting) -> IdentityCheck:
    signed = setting.signed(setting.technician, Meaning.IDENTIFIED, lot.received_on)
    return IdentityCheck("appearance and monograph test A", passed=True, signature=signed)


def _moves(
    each: Mapping[str, Any], full: StockContainer, lot: SupplyLot, setting: Setting
) -> list[StockMove]:
    came = (Cause.RECEIVED, lot.received_on)
    moves = [_move(setting, full.id, full.size, came, "", setting.both(lot, lot.received_on))]
    if "left" in each and not setting.untouched:
        change, day = parse_amount(each["left"]) - full.size, setting.ago(2)
        signatures, why = setting.both(lot, day), "Count at the month's end"
        moves.append(_move(setting, full.id, change, (Cause.COUNTED, day), why, signatures))
    return moves


def _move(
    setting: Setting,
    container_id: str,
    amount: Amount,
    what: tuple[Cause, date],
    reason: str = "",
    signatures: tuple[Signature, ...] = (),
) -> StockMove:
    cause, day = what
    by = setting.technician
    return StockMove(
        id=new_id(),
        container_id=container_id,
        amount=amount,
        cause=cause,
        at=setting.at(day),
        person_id=by.id,
        person=by.name,
        reason=reason,
        signatures=signatures,
    )
