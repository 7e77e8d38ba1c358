"""A house's own limits: a rule set that a pharmacist of the house signed."""

from __future__ import annotations

from dataclasses import dataclass

from formulary.formula.content import Form, Period
from formulary.formula.stability import Packing, WaterClass
from formulary.shelf_life.rules import Limit, RuleSet
from formulary.signing import Signature
from formulary.use_by import Counting

CODE = "house"
"""The code by which a house chooses its own rules."""


@dataclass(frozen=True, slots=True)
class HouseLimit:
    """One limit of the house; what is empty or None isn't asked. ``kept_at_most`` is in °C."""

    name: str
    period: Period
    source: str
    form: Form | None = None
    water: WaterClass | None = None
    preserved: bool | None = None
    kept_at_most: int | None = None
    packing: Packing | None = None


@dataclass(frozen=True, slots=True)
class DraftRules:
    """What is signed: the limits, how far evidence lifts them, and how days are counted."""

    limits: tuple[HouseLimit, ...]
    ceiling: Period | None = None
    counting: Counting | None = None


@dataclass(frozen=True, slots=True)
class HouseRules:
    """The house's rules with a pharmacist's signature; they hold from the day of signing."""

    rules: DraftRules
    signature: Signature


def as_rule_set(own: HouseRules, title: str, citation: str, source: str) -> RuleSet:
    """Return house rules as a set like any other; the texts are in the house's language."""
    rules = own.rules
    return RuleSet(
        code=CODE,
        title=title,
        citation=citation,
        limits=tuple(map(_limit, rules.limits)),
        valid_from=own.signature.at.date(),
        counting=rules.counting,
        counting_source=source,
        ceiling=rules.ceiling,
        ceiling_source=source,
    )


def _limit(own: HouseLimit) -> Limit:
    return Limit(
        name=own.name,
        period=own.period,
        water=own.water,
        preserved=own.preserved,
        forms=(own.form,) if own.form else (),
        packings=(own.packing,) if own.packing else (),
        kept_at_most=own.kept_at_most,
        source=own.source,
        seen=True,
    )
