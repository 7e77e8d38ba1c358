"""Whether a lot is what a line asks for: ingredient, kind of source and strength."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.stock.lot import LotStrength, Source, SupplyLot

_KINDS = {
    (units.MASS, units.MASS): "% w/w",
    (units.MASS, units.VOLUME): "% w/v",
    (units.VOLUME, units.VOLUME): "% v/v",
}
_IN = {units.MASS: "g", units.VOLUME: "mL"}


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a line asks for: the ingredient (the salt and hydrate it names), kind and strength.

    ``grade`` is empty where the formula leaves it open; ``name`` is how the line calls it.
    """

    ingredient_id: str
    source: Source
    strength: LotStrength | None = None
    grade: str = ""
    name: str = ""


def mismatch(lot: SupplyLot, wanted: Wanted, holds: str = "") -> Message | None:
    """Return how the lot isn't what a line asks for, or None if it is.

    ``holds`` is the name of the lot's ingredient, said where it is another one.
    """
    if lot.ingredient_id != wanted.ingredient_id:
        named = {"holds": holds, "asked": wanted.name} if holds and wanted.name else {}
        key = "ingredient" if named else "unnamed"
        return message(f"stock.mismatch.{key}", lot=lot.number, **named)
    if lot.source is not wanted.source:
        found = message(f"stock.source.{lot.source.value}")
        asked = message(f"stock.source.{wanted.source.value}")
        return message("stock.mismatch.source", found=found, asked=asked)
    if wanted.grade and not _alike(lot.grade, wanted.grade):
        found_grade = lot.grade or message("stock.mismatch.no_grade")
        return message("stock.mismatch.grade", found=found_grade, asked=wanted.grade)
    if not same_strength(lot.strength, wanted.strength):
        return message(
            "stock.mismatch.strength", found=_said(lot.strength), asked=_said(wanted.strength)
        )
    return None


def _alike(one: str, other: str) -> bool:
    return " ".join(one.casefold().split()) == " ".join(other.casefold().split())


def same_strength(one: LotStrength | None, other: LotStrength | None) -> bool:
    """Return whether two strengths say the same: 1 in 10 w/w, 10 % w/w and 100 mg/g do."""
    if isinstance(one, Amount) and isinstance(other, Amount):
        alike = units.dimension(one.unit) == units.dimension(other.unit)
        return alike and one.to(other.unit) == other
    return _in_percent(one) == _in_percent(other)


def _in_percent(strength: LotStrength | None) -> LotStrength | None:
    """Return a strength of mass or volume in per cent of its kind, any other as it is."""
    if isinstance(strength, OneIn):
        return strength.as_percent()
    if not isinstance(strength, Concentration) or strength.unit in units.PERCENTS:
        return strength
    part, whole = units.split_concentration(strength.unit)
    measured = units.dimension(part), units.dimension(whole)
    if measured not in _KINDS:
        return strength
    of_part, of_whole = units.factor(part, _IN[measured[0]]), units.factor(whole, _IN[measured[1]])
    return Concentration(Fraction(100) * strength.number * of_part / of_whole, _KINDS[measured])


def _said(strength: LotStrength | None) -> LotStrength | Message:
    return message("stock.mismatch.no_strength") if strength is None else strength
