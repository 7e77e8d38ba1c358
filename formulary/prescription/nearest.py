"""The house formula nearest to a prescription: shared ingredients, their strengths, the form.

The figure that ranks them is a rule of this program, not of the trade: of all ingredients of both,
actives counting three times, how much agrees; a shared one agrees by two thirds, and by the rest as
far as the weaker strength reaches the stronger. Another form takes a quarter off.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from formulary.errors import Refusal
from formulary.formula.content import Content, Role
from formulary.formula.kind_text import said as quantity_said
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.units import Dimension
from formulary.scaling.batch import Batch
from formulary.scaling.required import Need, needs
from formulary.scaling.strengths import KIND
from formulary.scaling.whole import whole_as_written

MOST = 3
LEAST_SCORE = Fraction(1, 4)
"""Below it nothing is near enough to be worth reading."""

_WEIGHT_OF_ACTIVE = 3
_OF_SHARED = Fraction(2, 3)
_OF_UNKNOWN_STRENGTH = _OF_SHARED
_OF_OTHER_FORM = Fraction(3, 4)


@dataclass(frozen=True, slots=True)
class HouseFormula:
    """A house formula's version in use, its ingredients completed with their ids."""

    version_id: str
    content: Content


@dataclass(frozen=True, slots=True)
class Near:
    """A house formula with how near it is (1: the same) and what differs, in words."""

    version_id: str
    code: str
    title: str
    score: Fraction
    differences: tuple[Message, ...]


@dataclass(frozen=True, slots=True)
class _Part:
    """An ingredient in a formula: its strength is None where it can't be worked out."""

    name: str
    active: bool
    written: Message
    strength: Concentration | Amount | None


def nearest(content: Content, house: Iterable[HouseFormula]) -> tuple[Near, ...]:
    """Return the house formulas nearest to a prescription, the nearest first, at most :data:`MOST`.

    Ingredients are the same by their id, or by name where a line has none.
    """
    ours = _parts(content)
    near = [_near(content, ours, each) for each in house]
    near = [each for each in near if each.score >= LEAST_SCORE]
    near.sort(key=lambda each: (-each.score, each.code))
    return tuple(near[:MOST])


def _near(content: Content, ours: Mapping[str, _Part], candidate: HouseFormula) -> Near:
    theirs = _parts(candidate.content)
    keys = (*ours, *(key for key in theirs if key not in ours))
    pairs = [(ours.get(key), theirs.get(key)) for key in keys]
    weights = [_weight(one, other) for one, other in pairs]
    agreed = [_agreement(one, other) for one, other in pairs]
    total = sum(weights)
    score = sum(map(Fraction.__mul__, agreed, map(Fraction, weights)), Fraction(0))
    score = score / total if total else Fraction(0)
    if content.form is not candidate.content.form:
        score *= _OF_OTHER_FORM
    differences = (*_of_whole(content, candidate.content), *_of_parts(pairs))
    return Near(
        version_id=candidate.version_id,
        code=candidate.content.code,
        title=candidate.content.title,
        score=score,
        differences=differences or (message("prescription.nearest.same"),),
    )


def _weight(one: _Part | None, other: _Part | None) -> int:
    return _WEIGHT_OF_ACTIVE if any(part and part.active for part in (one, other)) else 1


def _agreement(one: _Part | None, other: _Part | None) -> Fraction:
    if one is None or other is None:
        return Fraction(0)
    numbers = _comparable(one, other)
    if numbers is None:
        return _OF_UNKNOWN_STRENGTH
    reached = min(numbers) / max(numbers) if max(numbers) else Fraction(1)
    return _OF_SHARED + (1 - _OF_SHARED) * reached


def _comparable(one: _Part, other: _Part) -> tuple[Fraction, Fraction] | None:
    """Return two strengths in one unit, None where they are unknown or of different sorts."""
    ours, theirs = one.strength, other.strength
    if ours is None or theirs is None or ours.unit != theirs.unit:
        return None
    return ours.number, theirs.number


def _of_whole(ours: Content, theirs: Content) -> Iterable[Message]:
    for what in ("form", "route"):
        mine, other = getattr(ours, what), getattr(theirs, what)
        if mine is not other:
            said = {
                key: message(f"formula.{what}.{each.name.lower()}")
                for key, each in (("ours", mine), ("theirs", other))
            }
            yield message(f"prescription.nearest.{what}", **said)


def _of_parts(pairs: Iterable[tuple[_Part | None, _Part | None]]) -> Iterable[Message]:
    for one, other in pairs:
        if other is None and one is not None:
            yield message("prescription.nearest.missing", name=one.name)
        elif one is None and other is not None:
            yield message("prescription.nearest.extra", name=other.name, theirs=other.written)
        elif one is not None and other is not None:
            yield from _of_strength(one, other)


def _of_strength(one: _Part, other: _Part) -> Iterable[Message]:
    """Say how two strengths differ. What closes the sum differs because the others do."""
    if one.strength is None or other.strength is None or one.strength.unit != other.strength.unit:
        yield message("prescription.nearest.unknown_strength", name=one.name)
    elif one.strength != other.strength:
        said = {"ours": one.strength, "theirs": other.strength}
        yield message("prescription.nearest.strength", name=one.name, **said)


def _parts(content: Content) -> dict[str, _Part]:
    """Return a formula's ingredients by id or name; one that stands twice counts with its first."""
    found: dict[str, _Part] = {}
    for line, strength in zip(content.lines, _strengths(content), strict=True):
        key = line.ingredient_id or line.ingredient.casefold()
        active = line.role is Role.ACTIVE
        written = quantity_said(line.quantity)
        found.setdefault(key, _Part(line.ingredient, active, written, strength))
    return found


def _strengths(content: Content) -> list[Concentration | Amount | None]:
    """Return each line's strength in the whole, none where the formula doesn't add up."""
    try:
        whole = whole_as_written(content)
        batch = Batch(content, whole, whole.amount or Amount(Fraction(100), "g"))
        return [_strength(need, batch.make, content.units) for need in needs(batch)]
    except Refusal:
        return [None] * len(content.lines)


def _strength(need: Need, made: Amount, count: int | None) -> Concentration | Amount | None:
    """Return what one of ``count`` units holds, or the share in an undivided preparation."""
    amount = need.amount
    if amount is None or need.up_to:
        return None
    if count is not None:
        return _in_plain_unit(amount) * Fraction(1, count)
    unit = KIND.get((units.dimension(amount.unit), units.dimension(made.unit)))
    if unit is None:
        return None
    share = _in_plain_unit(amount).number / _in_plain_unit(made).number
    return Concentration(share * 100, unit)


def _in_plain_unit(amount: Amount) -> Amount:
    plain = {Dimension.MASS: "g", Dimension.VOLUME: "mL"}
    return amount.to(plain.get(units.dimension(amount.unit), amount.unit))
