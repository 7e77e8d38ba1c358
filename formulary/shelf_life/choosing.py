"""Which limits of a rule set a preparation falls under; what isn't known rules none out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from formulary.formula.content import Content, Route
from formulary.formula.stability import Preserved, WaterClass
from formulary.shelf_life.rules import Limit, RuleSet


class Fact(StrEnum):
    """What a rule may ask of a formula."""

    WATER = "water"
    PRESERVATION = "preservation"
    ROUTE = "route"
    PACKING = "packing"
    STORAGE = "storage"


@dataclass(frozen=True, slots=True)
class Choice:
    """The limits that hold or may hold, the facts that would tell, and those kept too warm for.

    ``misfits`` are limits for just this preparation, were it kept colder.
    """

    limits: tuple[Limit, ...] = ()
    missing: tuple[Fact, ...] = ()
    misfits: tuple[Limit, ...] = ()


def choose(content: Content, rules: RuleSet) -> Choice:
    """Return what the rule set says of a formula, limits in the set's own order."""
    limits: list[Limit] = []
    misfits: list[Limit] = []
    missing: set[Fact] = set()
    for limit in rules.limits:
        answers = dict(_answers(content, limit, rules.aqueous_from))
        if False in answers.values():
            continue
        open_facts = {fact for fact, answer in answers.items() if answer is None}
        warm = _is_cold_enough(content, limit)
        if warm is False and not open_facts:
            misfits.append(limit)
            continue
        limits.append(limit)
        missing |= open_facts | ({Fact.STORAGE} if warm is None else set())
    return Choice(tuple(limits), tuple(each for each in Fact if each in missing), tuple(misfits))


def water_class(content: Content, aqueous_from: Fraction) -> WaterClass | None:
    """Return the class; a measured activity decides, but never against a stated "aqueous"."""
    water = content.water
    if water is None:
        return None
    if water.water_class is WaterClass.AQUEOUS or water.activity is None:
        return water.water_class
    aqueous = water.activity >= aqueous_from
    return WaterClass.AQUEOUS if aqueous else WaterClass.NON_AQUEOUS


def _answers(
    content: Content, limit: Limit, aqueous_from: Fraction
) -> Iterator[tuple[Fact, bool | None]]:
    """Yield whether the formula is what a limit asks for; None where nobody said."""
    if limit.water is not None:
        found = water_class(content, aqueous_from)
        yield Fact.WATER, None if found is None else found is limit.water
    if limit.unstable:
        factors = content.factors
        yield Fact.WATER, factors is not None and factors.unstable
    kept = content.preservation
    if limit.preserved is not None or limit.with_ethanol is not None:
        yield Fact.PRESERVATION, None if kept is None else _is_preserved_so(kept.state, limit)
    if limit.routes:
        known = content.route is not Route.NOT_A_MEDICINE
        yield Fact.ROUTE, content.route in limit.routes if known else None
    if limit.packings:
        packing = content.container.packing if content.container else None
        yield Fact.PACKING, None if packing is None else packing in limit.packings
    if limit.kept_over is not None:
        warmest = _warmest(content)
        yield Fact.STORAGE, None if warmest is None else warmest > limit.kept_over
    # The form is always known; a limit for other forms is no limit for this one.
    if limit.forms and content.form not in limit.forms:
        yield Fact.ROUTE, False


def _is_preserved_so(state: Preserved, limit: Limit) -> bool:
    works = state in (Preserved.YES, Preserved.ETHANOL)
    ethanol = state is Preserved.ETHANOL
    as_asked = limit.preserved is None or works is limit.preserved
    return as_asked and (limit.with_ethanol is None or ethanol is limit.with_ethanol)


def _warmest(content: Content) -> int | None:
    return content.storage.highest if content.storage else None


def _is_cold_enough(content: Content, limit: Limit) -> bool | None:
    if limit.kept_at_most is None:
        return True
    warmest = _warmest(content)
    return None if warmest is None else warmest <= limit.kept_at_most
