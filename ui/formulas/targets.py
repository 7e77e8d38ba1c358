"""Targets as typed: the formula's own size, and what a container and a count make together."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from formulary.errors import Refusal
from formulary.formula.content import Content
from formulary.house import House, Pack
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.units import Dimension
from formulary.quantity.writing import exact_amount
from formulary.scaling.target import parse_target
from formulary.scaling.whole import whole_as_written


def first_target(content: Content, decimal_sign: str) -> str:
    """Return the size of the formula as written, as a target; nothing where it has none."""
    if content.units:
        return str(content.units)
    try:
        whole = whole_as_written(content).amount
    except Refusal:
        return ""
    return "" if whole is None else _written(whole, decimal_sign)


def target_of(count: int, pack: Pack, decimal_sign: str) -> str:
    """Return the target of so many containers."""
    if units.dimension(pack.content.unit) == Dimension.PIECES:
        return str(count * int(pack.content.number))
    return f"{count} x {_written(pack.content, decimal_sign)}"


def pack_meant(
    text: str, packs: Sequence[Pack], decimal_sign: str, chosen: Pack | None = None
) -> tuple[int, Pack | None]:
    """Return the count that a target says, and the container whose fill is its size.

    Of several the chosen one is meant; if it isn't among them, none is.
    """
    try:
        target = parse_target(text, decimal_sign)
    except Refusal:
        return 0, None
    fits = [each for each in packs if _same(each.content, target.each)]
    if chosen in fits:
        return target.count, chosen
    return target.count, fits[0] if len(fits) == 1 else None


def containers_for(text: str, pack: Pack, decimal_sign: str) -> int:
    """Return how many containers hold the units that a target says, else the count that it says."""
    try:
        target = parse_target(text, decimal_sign)
    except Refusal:
        return 1
    kinds = {units.dimension(each.unit) for each in (target.ordered, pack.content)}
    if kinds != {Dimension.PIECES}:
        return target.count
    return ceil(target.ordered / pack.content)


def fitting_packs(content: Content, house: House) -> tuple[Pack, ...]:
    """Return the house's containers, those first whose fill is of the formula's own kind."""
    first = first_target(content, house.decimal_sign)
    try:
        kind = units.dimension(parse_target(first, house.decimal_sign).each.unit)
    except Refusal:
        return house.packs
    return tuple(
        sorted(house.packs, key=lambda each: units.dimension(each.content.unit) is not kind)
    )


def _same(one: Amount, other: Amount) -> bool:
    return units.dimension(one.unit) is units.dimension(other.unit) and one / other == 1


def _written(amount: Amount, decimal_sign: str) -> str:
    return exact_amount(amount, decimal_sign)
