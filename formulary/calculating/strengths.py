"""Strengths made comparable: the same kind, one unit, exact."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.calculating.outcome import Number
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.quantity.units import Dimension

KIND_OF = {
    (Dimension.MASS, Dimension.MASS): "w/w",
    (Dimension.MASS, Dimension.VOLUME): "w/v",
    (Dimension.VOLUME, Dimension.VOLUME): "v/v",
    (Dimension.ACTIVITY, Dimension.MASS): "units in mass",
    (Dimension.ACTIVITY, Dimension.VOLUME): "units in volume",
    (Dimension.SUBSTANCE, Dimension.VOLUME): "moles in volume",
    (Dimension.EQUIVALENTS, Dimension.VOLUME): "equivalents in volume",
}
ANY = ""
"""The kind of a bare per cent: it fits every kind, and the figures decide nothing else."""
WHOLE = Fraction(100)
"""All of it, in per cent."""
_BASE = {
    Dimension.MASS: "g",
    Dimension.VOLUME: "mL",
    Dimension.ACTIVITY: "international unit",
    Dimension.SUBSTANCE: "mmol",
    Dimension.EQUIVALENTS: "mEq",
}


@dataclass(frozen=True, slots=True)
class Plain:
    """A strength as parts in 100 of the whole: g, mL, units, mmol or mEq in 100 g or 100 mL."""

    per_hundred: Fraction
    kind: str


def plain(value: Concentration | OneIn | Fraction) -> Plain:
    """Return a strength in per cent of its kind; a bare number is a per cent of any kind.

    Raises :class:`formulary.errors.Refusal` for one that is no part of a whole (mg/m2, mg/h).
    """
    if isinstance(value, Fraction):
        return Plain(value, ANY)
    strength = value.as_percent() if isinstance(value, OneIn) else value
    if strength.unit.startswith("%"):
        return Plain(strength.number, strength.unit.removeprefix("% "))
    part, whole = units.split_concentration(strength.unit)
    dimensions = units.dimension(part), units.dimension(whole)
    if dimensions not in KIND_OF:
        raise Refusal(message("calculating.no_part_of_a_whole", strength=strength))
    factor = units.factor(part, _BASE[dimensions[0]]) / units.factor(whole, _BASE[dimensions[1]])
    return Plain(strength.number * factor * 100, KIND_OF[dimensions])


def alike(given: Given, *names: str) -> tuple[list[Fraction], str]:
    """Return the named strengths in per cent, and the kind they share.

    A list is flattened in its order. Raises :class:`formulary.errors.Refusal` where kinds differ.
    """
    found: list[Plain] = []
    for name in names:
        value = given.values[name]
        found.extend(plain(each) for each in (value if isinstance(value, tuple) else (value,)))
    kinds = {each.kind for each in found} - {ANY}
    if len(kinds) > 1:
        raise Refusal(message("calculating.kinds_differ", kinds=", ".join(sorted(kinds))))
    return [each.per_hundred for each in found], kinds.pop() if kinds else ANY


def in_kind(per_hundred: Fraction, kind: str) -> Concentration | None:
    """Return a per cent with its kind, or None where the kind was never said."""
    return Concentration(per_hundred, f"% {kind}") if kind in units.KINDS else None


def typed_unit(given: Given, *names: str) -> str:
    """Return the unit in which the first of these strengths was typed, or "" for per cent."""
    first = next(given.values[name] for name in names if given.has(name))
    value = first[0] if isinstance(first, tuple) else first
    by_unit = isinstance(value, Concentration) and not value.unit.startswith("%")
    return value.unit if by_unit else ""


def as_value(per_hundred: Fraction, kind: str, unit: str = "") -> Concentration | Number:
    """Return parts in 100 as a strength of their kind; without one, as a bare per cent.

    ``unit`` is the one to write it in (mg/mL), where a strength was typed in one of that kind.
    """
    for dimensions, name in KIND_OF.items():
        if name == kind and (unit or kind not in units.KINDS):
            part, whole = (_BASE[each] for each in dimensions)
            found = Concentration(per_hundred / 100, f"{part}/{whole}")
            return rewritten(found, unit) if unit else found
    return Concentration(per_hundred, f"% {kind}") if kind else Number(per_hundred, "%")


def part_unit(kind: str) -> str:
    """Return the unit in which the active of a kind is counted (g, mmol), or "" for any kind."""
    return next((_BASE[part] for (part, _), name in KIND_OF.items() if name == kind), "")


def rewritten(strength: Concentration, unit: str) -> Concentration:
    """Return an amount in an amount (g/mL) in another unit of its kind (mg/mL)."""
    (part, whole), (new_part, new_whole) = map(units.split_concentration, (strength.unit, unit))
    factor = units.factor(part, new_part) / units.factor(whole, new_whole)
    return Concentration(strength.number * factor, unit)


def shown(per_hundred: Fraction, kind: str, unit: str = "") -> Concentration | Message:
    """Return the same for a sentence."""
    value = as_value(per_hundred, kind, unit)
    if isinstance(value, Number):
        return message("calculating.bare_percent", number=value.number)
    return value


def require_fit(kind: str, *amounts: Amount) -> None:
    """Raise :class:`formulary.errors.Refusal` for a strength in mass of an amount by volume.

    The same the other way round: a strength w/v of a mass is known only through its density.
    """
    for whole in (whole for (_, whole), name in KIND_OF.items() if name == kind):
        for amount in amounts:
            if units.dimension(amount.unit) != whole:
                raise Refusal(message("calculating.kind_unfit", kind=kind, amount=amount))
