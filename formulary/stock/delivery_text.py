"""A delivery as it is typed: the texts of its fields read into a lot and its containers."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from formulary.errors import BadText
from formulary.field_text import at_field, choice_of, optional
from formulary.formula.content import Period
from formulary.formula.periods import parse_period
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.quantity.money import Money
from formulary.quantity.parsing import parse_amount, parse_concentration, parse_multiple
from formulary.quantity.typed_number import parse_number
from formulary.stock.cost import UnitCost
from formulary.stock.expiry import Expiry, assigned, parse_expiry
from formulary.stock.lot import Analysis, AssayBasis, LotStrength, Source, SupplyLot
from formulary.stock.receiving import MOST_CONTAINERS

_COST = re.compile(r"(?P<number>[0-9.,]+) ?(?P<currency>[A-Z]{3}) ?(?:/|for|per) ?(?P<per>.+)")
_HUNDRED = Fraction(100)


@dataclass(frozen=True, slots=True)
class Arriving:
    """For which ingredient, when and through whom a delivery comes."""

    lot_id: str
    ingredient_id: str
    received_on: date
    person: str
    decimal_sign: str = "."


@dataclass(frozen=True, slots=True)
class Delivery:
    """A lot with what each of its containers holds and how long one lasts once open."""

    lot: SupplyLot
    sizes: tuple[Amount, ...]
    in_use: Period | None


def read_delivery(texts: Mapping[str, str], arriving: Arriving) -> Delivery:
    """Return the delivery that the texts say; what is empty is left out.

    Raises :class:`formulary.errors.BadText` with the field that can't be read.
    """
    sign = arriving.decimal_sign
    if not texts["number"].strip():
        raise BadText(message("stock.lot.no_number"), field="number")
    source = choice_of(Source, texts["source"], "source")
    sizes = at_field("containers", lambda: read_sizes(texts["containers"], sign))
    lot = at_field(
        "strength",
        lambda: SupplyLot(
            id=arriving.lot_id,
            ingredient_id=arriving.ingredient_id,
            number=texts["number"].strip(),
            source=source,
            received_on=arriving.received_on,
            expiry=at_field("expiry", lambda: _expiry(texts["expiry"], arriving)),
            supplier=texts["supplier"].strip(),
            maker=texts["maker"].strip(),
            grade=texts["grade"].strip(),
            strength=read_strength(texts["strength"].strip(), source, sign),
            analysis=_analysis(texts, sign),
            supplier_reason=texts.get("supplier_reason", "").strip(),
            place=texts["place"].strip(),
            hazards=_listed(texts["hazards"]),
            allergens=_listed(texts["allergens"]),
            cost=at_field("cost", lambda: read_cost(texts["cost"], sign)),
        ),
    )
    in_use = texts["in_use"].strip()
    return Delivery(
        lot, sizes, at_field("in_use", lambda: parse_period(in_use)) if in_use else None
    )


def read_sizes(text: str, decimal_sign: str = ".") -> tuple[Amount, ...]:
    """Read ``2 x 500 g; 250 g`` as what each container holds."""
    sizes: list[Amount] = []
    for part in filter(None, (each.strip() for each in text.split(";"))):
        many = parse_multiple(part, decimal_sign)
        if len(sizes) + many.count > MOST_CONTAINERS:
            raise BadText(message("stock.receipt.how_many", n=MOST_CONTAINERS))
        sizes += [many.each] * many.count
    if not sizes:
        raise BadText(message("stock.receipt.how_many", n=MOST_CONTAINERS))
    return tuple(sizes)


def read_cost(text: str, decimal_sign: str = ".") -> UnitCost | None:
    """Read ``12.50 EUR / 100 g``."""
    if not text.strip():
        return None
    found = _COST.fullmatch(" ".join(text.split()))
    if found is None:
        raise BadText(message("stock.cost.unreadable", typed=text.strip()))
    price = Money(parse_number(found["number"], decimal_sign), found["currency"])
    return UnitCost(price, parse_amount(found["per"], decimal_sign))


def _expiry(text: str, arriving: Arriving) -> Expiry:
    if not text.strip():
        return assigned(arriving.received_on, arriving.person).result
    return parse_expiry(text)


def read_strength(text: str, source: Source, sign: str) -> LotStrength | None:
    """Read a concentrate's strength, or what one tablet or capsule holds; nothing for none."""
    if not text:
        return None
    return parse_amount(text, sign) if source is Source.UNITS else parse_concentration(text, sign)


def _analysis(texts: Mapping[str, str], sign: str) -> Analysis:
    def figure(name: str) -> Fraction | None:
        return optional(texts, name, lambda typed: _figure(typed.removesuffix("%").strip(), sign))

    return Analysis(
        assay=figure("assay"),
        basis=choice_of(AssayBasis, texts["basis"], "basis"),
        water=_part(figure("water"), "water"),
        loss_on_drying=_part(figure("loss_on_drying"), "loss_on_drying"),
        potency=figure("potency"),
    )


def _figure(text: str, sign: str) -> Fraction:
    number = parse_number(text, sign)
    if number < 0:
        raise BadText(message("stock.receipt.below_nothing", typed=text))
    return number


def _part(percent: Fraction | None, field: str) -> Fraction | None:
    if percent is not None and percent >= _HUNDRED:
        raise BadText(message("stock.receipt.all_of_it"), field=field)
    return percent


def _listed(text: str) -> tuple[str, ...]:
    return tuple(each.strip() for each in re.split(r"[;\n]", text) if each.strip())
