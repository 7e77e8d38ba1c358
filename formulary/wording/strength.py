"""The strength that a formula declares, per mL and per unit, as a label and a dose say it.

Always the declared one, never one corrected for a lot or worked out from readings. A liquid's is
said for 1 mL and for the whole container (FDA and ISMP on labels of liquids).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from formulary.errors import Refusal
from formulary.formula.content import Content, Line, Role, Route
from formulary.formula.kinds import Fixed, PerUnit, Share
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.quantity.units import Dimension
from formulary.scaling.whole import whole_as_written
from formulary.wording.directions import content_of

ONE_ML = Amount(Fraction(1), "mL")
_COUNTED = (Dimension.MASS, Dimension.ACTIVITY)
# "Glycerol 85 %": what is weighed is a dilution, so its mass isn't that of the active.
_DILUTED = re.compile(r"\d\s?%|\b1 in \d|\btrituration\b|\bconcentrate\b", re.IGNORECASE)
_FEW = 2


_DOSED = frozenset({Route.ORAL, Route.RECTAL})


@dataclass(frozen=True, slots=True)
class Held:
    """What 1 mL and the whole container hold of an active, or one dose unit does."""

    name: str
    in_one: Amount
    in_all: Amount | None = None


def by_volume(content: Content) -> tuple[tuple[str, Concentration], ...]:
    """Return each active's declared strength by volume, none at all where one has none."""
    actives = [line for line in content.lines if line.role is Role.ACTIVE]
    found = [(line.ingredient, _by_volume(line, content)) for line in actives]
    known = tuple((name, strength) for name, strength in found if strength is not None)
    return known if len(known) == len(actives) else ()


def only_strength(content: Content) -> Concentration | None:
    """Return the strength by volume of the only active, None where there isn't just one."""
    found = by_volume(content)
    return found[0][1] if len(found) == 1 else None


def held(content: Content, fill: Amount) -> tuple[Held, ...]:
    """Return what a container of this content holds, as its label says it.

    Empty where it isn't known of every active, and where there are more than a label tells apart.
    """
    kind = units.dimension(fill.unit)
    found: tuple[Held, ...] = ()
    if kind is Dimension.VOLUME:
        found = tuple(_held_in(by_volume(content), fill))
    elif kind is Dimension.PIECES:
        found = _in_each(content)
    return found if len(found) == 1 or (content.route in _DOSED and len(found) <= _FEW) else ()


def _held_in(found: tuple[tuple[str, Concentration], ...], fill: Amount) -> Iterator[Held]:
    for name, strength in found:
        in_one, in_all = content_of(ONE_ML, strength), content_of(fill, strength)
        if in_one is not None and in_all is not None:
            yield Held(name, in_one, in_all)


def _in_each(content: Content) -> tuple[Held, ...]:
    actives = [line for line in content.lines if line.role is Role.ACTIVE]
    found = [
        Held(line.ingredient, line.quantity.amount)
        for line in actives
        if isinstance(line.quantity, PerUnit)
        and units.dimension(line.quantity.amount.unit) in _COUNTED
    ]
    return tuple(found) if len(found) == len(actives) else ()


def _by_volume(line: Line, content: Content) -> Concentration | None:
    kind = line.quantity
    if _DILUTED.search(line.ingredient):
        return None
    if isinstance(kind, Share):
        strength = kind.strength
        shared = strength.as_percent() if isinstance(strength, OneIn) else strength
        return shared if content_of(ONE_ML, shared) is not None else None
    if isinstance(kind, Fixed) and not kind.each:
        return _in_whole(kind.amount, content)
    return None


def _in_whole(amount: Amount, content: Content) -> Concentration | None:
    if units.dimension(amount.unit) not in _COUNTED:
        return None
    try:
        whole = whole_as_written(content).amount
    except Refusal:
        return None
    if whole is None or units.dimension(whole.unit) is not Dimension.VOLUME:
        return None
    return Concentration(amount.number / whole.to("mL").number, f"{amount.unit}/mL")


def declared(content: Content) -> dict[str, Concentration | Amount]:
    """Return the declared strength of each active by its name, written alike to be compared.

    By mass it is in per cent, by volume what 1 mL holds, of dose units what one holds.
    """
    found: dict[str, Concentration | Amount] = {}
    for line in content.lines:
        strength = _declared(line, content) if line.role is Role.ACTIVE else None
        if strength is not None:
            found[line.ingredient] = strength
    return found


def _declared(line: Line, content: Content) -> Concentration | Amount | None:
    by_ml = _by_volume(line, content)
    if by_ml is not None:
        held = content_of(ONE_ML, by_ml)
        return None if held is None else Concentration(held.number, f"{held.unit}/mL")
    if isinstance(line.quantity, PerUnit):
        return line.quantity.amount
    if isinstance(line.quantity, Share):
        strength = line.quantity.strength
        return _by_mass(strength.as_percent() if isinstance(strength, OneIn) else strength)
    return None


def _by_mass(strength: Concentration) -> Concentration:
    """Return mg in g as per cent; any other strength as it is."""
    if strength.unit in units.PERCENTS:
        return strength
    part, whole = units.split_concentration(strength.unit)
    if units.dimension(part) is Dimension.MASS and units.dimension(whole) is Dimension.MASS:
        share = Amount(strength.number, part) / Amount(Fraction(1), whole)
        return Concentration(share * 100, "% w/w")
    return strength
