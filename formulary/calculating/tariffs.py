"""Tariffs as data: mark-ups in tiers, fees for work by base quantities, fixed charge, tax."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import floor
from types import MappingProxyType
from typing import Any

from formulary.calculating.tables import document, names_in
from formulary.quantity.amount import Amount
from formulary.quantity.money import Money
from formulary.quantity.parsing import parse_amount

FOLDER = "tariffs"
SINGLE_RULES = ("fixed", "tax_percent", "least_price", "currency", "minor_units", "rounding")
LISTED_RULES = ("substances", "containers", "work")
EACH_LINE = "each line"


@dataclass(frozen=True, slots=True)
class Tier:
    """A mark-up in per cent on the part of a sum up to ``up_to``; the last tier has no end."""

    percent: Fraction
    up_to: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Work:
    """The fee for kinds of work up to a base quantity; each further started one adds a share."""

    kinds: tuple[str, ...]
    base: Amount
    fee: Fraction
    further_percent: Fraction


@dataclass(frozen=True, slots=True)
class Tariff:
    """The rules of one tariff; money is in its currency, exact until it is rounded.

    ``further_doubtful`` says why the share for further base quantities is in doubt, if it is.
    """

    name: str
    title: str
    source: str
    invented: bool
    further_doubtful: str
    currency: str
    minor_units: int
    rounds_each_line: bool
    substances: tuple[Tier, ...]
    containers: tuple[Tier, ...]
    work: tuple[Work, ...]
    fixed: Fraction
    tax_percent: Fraction
    least_price: Fraction

    def rounded(self, money: Fraction) -> Fraction:
        """Return a sum in whole minor units, halves upwards, as money is counted."""
        units = 10**self.minor_units
        return Fraction(floor(money * units + Fraction(1, 2)), units)

    def line(self, money: Fraction) -> Fraction:
        """Return a line of the bill: rounded if the tariff rounds each line."""
        return self.rounded(money) if self.rounds_each_line else money

    def money(self, number: Fraction) -> Money:
        """Return a sum in the tariff's currency, as it is written."""
        return Money(number, self.currency, self.minor_units)

    def work_of(self, kind: str) -> Work | None:
        """Return the fee for a kind of work, or None if the tariff has none."""
        return next((work for work in self.work if kind in work.kinds), None)


@dataclass(frozen=True, slots=True)
class MarkUp:
    """What a tier adds to the ``part`` of a sum that it holds for."""

    part: Fraction
    percent: Fraction

    @property
    def added(self) -> Fraction:
        """The mark-up, exact."""
        return self.part * self.percent / 100


def mark_ups(money: Fraction, tiers: Iterable[Tier]) -> tuple[MarkUp, ...]:
    """Return the mark-ups on a sum, each tier on its own part of it."""
    found, below = [], Fraction(0)
    for tier in tiers:
        top = money if tier.up_to is None else min(money, tier.up_to)
        if top > below:
            found.append(MarkUp(top - below, tier.percent))
        below = max(below, top)
    return tuple(found)


def marked_up(money: Fraction, tiers: Iterable[Tier]) -> Fraction:
    """Return the mark-up on a sum in all."""
    return sum((each.added for each in mark_ups(money, tiers)), Fraction(0))


def tariff_names() -> tuple[str, ...]:
    """Return the names of the tariffs there are."""
    return names_in(FOLDER)


@cache
def tariff(name: str) -> Tariff:
    """Return a tariff by its name, read when first asked for."""
    data = document(f"{FOLDER}/{name}")
    return Tariff(
        name=name,
        title=data["title"],
        source=data["source"],
        invented=data["invented"],
        further_doubtful=data.get("further_doubtful", ""),
        currency=data["currency"],
        minor_units=data["minor_units"],
        rounds_each_line=data["rounding"] == EACH_LINE,
        substances=tuple(map(_tier, data["substances"])),
        containers=tuple(map(_tier, data["containers"])),
        work=tuple(map(_work, data["work"])),
        fixed=Fraction(data["fixed"]),
        tax_percent=Fraction(data["tax_percent"]),
        least_price=Fraction(data.get("least_price", 0)),
    )


@cache
def tariff_rows(name: str) -> tuple[Mapping[str, Any], ...]:
    """Return the rules of a tariff as the rows of a table, in the words of its file.

    Every row has a ``rule`` with its ``value``, and the tariff's source, edition and ``seen``.
    Fees for work are ``doubtful`` where what further base quantities add is.
    """
    data = document(f"{FOLDER}/{name}")
    about = {key: data[key] for key in ("source", "edition", "url", "seen") if key in data}
    listed = [(rule, row) for rule in LISTED_RULES for row in data[rule]]
    rows = [_flat_row(data, rule, row) for rule, row in listed]
    rows += [_single_row(data, rule) for rule in SINGLE_RULES if rule in data]
    return tuple(MappingProxyType(row | about) for row in rows)


def _flat_row(data: Mapping[str, Any], rule: str, row: Mapping[str, Any]) -> dict[str, Any]:
    if rule != "work":
        value = {"rule": rule, "value": f"{row['percent']} %"}
        return value | {"up_to": row["up_to"]} if "up_to" in row else value
    flat = {
        "rule": rule,
        "value": f"{row['fee']} {data['currency']}",
        "kinds": "; ".join(row["kinds"]),
        "base": row["base"],
        "further_percent": row["further_percent"],
    }
    doubt = data.get("further_doubtful")
    return flat | {"doubtful": doubt} if doubt else flat


def _single_row(data: Mapping[str, Any], rule: str) -> dict[str, Any]:
    return {"rule": rule.replace("_", " "), "value": str(data[rule])}


def _tier(row: Mapping[str, Any]) -> Tier:
    up_to = Fraction(row["up_to"]) if "up_to" in row else None
    return Tier(Fraction(row["percent"]), up_to)


def _work(row: Mapping[str, Any]) -> Work:
    return Work(
        tuple(row["kinds"]),
        parse_amount(row["base"]),
        Fraction(row["fee"]),
        Fraction(row["further_percent"]),
    )
