"""What is in a preparation as its label states it: as prescribed, never corrected for a lot."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from formulary.errors import Refusal
from formulary.formula.content import Content, Line, Role
from formulary.formula.kinds import Fixed, Kind, PerUnit, Share, ToTotal
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.scaling.whole import whole_as_written


@dataclass(frozen=True, slots=True)
class Stated:
    """One ingredient with its amount as the formula declares it; ``up_to`` one that makes it up."""

    name: str
    amount: Amount | Concentration | OneIn | None = None
    up_to: bool = False


@dataclass(frozen=True, slots=True)
class Composition:
    """All ingredients in order, in so much of the whole where amounts alone would say nothing."""

    parts: tuple[Stated, ...]
    whole: Amount | None = None


def composition_of(content: Content) -> Composition:
    """Return the whole composition with quantities."""
    parts = tuple(_stated(line) for line in content.lines)
    needs_whole = any(isinstance(line.quantity, Fixed) for line in content.lines)
    return Composition(parts, _whole(content) if needs_whole else None)


def actives_of(content: Content) -> Composition:
    """Return the actives with their quantities, in the whole that says how much they come to."""
    actives = tuple(line for line in content.lines if line.role is Role.ACTIVE)
    return Composition(tuple(map(_stated, actives)), composition_of(content).whole)


def excipients_of(content: Content) -> tuple[str, ...]:
    """Return the names of all that isn't active, by kind as German rules ask, each once."""
    return _each_once(line.ingredient for line in content.lines if line.role is not Role.ACTIVE)


def _each_once(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))


def _stated(line: Line) -> Stated:
    return Stated(line.ingredient, _amount(line.quantity), isinstance(line.quantity, ToTotal))


def _amount(kind: Kind) -> Amount | Concentration | OneIn | None:
    match kind:
        case Fixed(amount=amount) | PerUnit(amount=amount):
            return amount
        case Share(strength=strength):
            return strength
        case ToTotal(total=total):
            return total
        case _:
            return None


def _whole(content: Content) -> Amount | None:
    try:
        return whole_as_written(content).amount
    except Refusal:
        return None
