"""A rule set for use periods as data: limits that are never mixed with those of another set."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from formulary.formula.content import Form, Period, Route
from formulary.formula.stability import Packing, WaterClass
from formulary.messages import Message, message
from formulary.use_by import Counting


@dataclass(frozen=True, slots=True)
class Limit:
    """The longest period for one sort of preparation; what is empty or None isn't asked.

    One for what is ``unstable`` by itself holds beside the others, and only then.

    ``kept_at_most`` is the warmest storage in °C for which it holds; one for storage warmer than
    ``kept_over`` leaves the colder to another limit. ``seen`` is whether the source was seen, or
    the figure stands from memory.
    """

    name: str
    period: Period
    water: WaterClass | None = None
    preserved: bool | None = None
    with_ethanol: bool | None = None
    forms: tuple[Form, ...] = ()
    routes: tuple[Route, ...] = ()
    packings: tuple[Packing, ...] = ()
    kept_at_most: int | None = None
    kept_over: int | None = None
    unstable: bool = False
    source: str = ""
    seen: bool = False


@dataclass(frozen=True, slots=True)
class RuleSet:
    """Limits under one citation, valid from a day on, to another if that is known.

    ``counting`` is None where the set doesn't say how days are counted; ``ceiling`` is as far as
    evidence reaches, None where the set names no such limit. A water activity from
    ``aqueous_from`` on is aqueous.
    """

    code: str
    title: str
    citation: str
    limits: tuple[Limit, ...]
    valid_from: date | None = None
    valid_to: date | None = None
    counting: Counting | None = None
    counting_source: str = ""
    ceiling: Period | None = None
    ceiling_source: str = ""
    aqueous_from: Fraction = Fraction(3, 5)

    @property
    def asks_for_container(self) -> bool:
        """Whether any of its limits depends on the kind of container."""
        return any(each.packings for each in self.limits)

    def is_valid_on(self, day: date) -> bool:
        """Tell whether the set holds for what is made that day."""
        return not self.is_too_new(day) and (self.valid_to is None or day <= self.valid_to)

    def is_too_new(self, day: date) -> bool:
        """Tell whether the set holds only later."""
        return self.valid_from is not None and day < self.valid_from


def cited(limit: Limit) -> Message:
    """Return a limit's source, marked where nobody saw the page."""
    return message("shelf_life.seen" if limit.seen else "shelf_life.unseen", source=limit.source)


def citation(rules: RuleSet) -> Message:
    """Return where a set is from."""
    return message("shelf_life.citation", citation=rules.citation)
