"""Yield against its limits: what was filled, and where the rest is."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.messages import Message, message
from formulary.quantity.amount import Amount
from formulary.quantity.rounding import round_to_significant
from formulary.working import Working

LEAST_PERCENT = Fraction(95)
MOST_PERCENT = Fraction(105)
"""Where a formula sets no limits: 95 to 105 % of theory, a teaching target (Saskatchewan)."""
WHOLE = Fraction(100)


@dataclass(frozen=True, slots=True)
class Limits:
    """The least and most yield in per cent of what went in; both ends are inside."""

    least: Fraction = LEAST_PERCENT
    most: Fraction = MOST_PERCENT


USUAL = Limits()


@dataclass(frozen=True, slots=True)
class Obtained:
    """What came of a batch: filled containers, surplus, samples and residue left in the vessel.

    ``theoretical`` is what went in, as weighed.
    """

    theoretical: Amount
    filled: tuple[Amount, ...]
    surplus: Amount | None = None
    samples: Amount | None = None
    residue: Amount | None = None


@dataclass(frozen=True, slots=True)
class Yield:
    """The yield: ``unaccounted`` is what is neither filled, surplus, sample nor residue."""

    amount: Amount
    percent: Fraction
    unaccounted: Amount
    inside: bool


def yield_of(obtained: Obtained, limits: Limits = USUAL) -> Working[Yield]:
    """Return the yield with its working. Refused where nothing went in."""
    theoretical = obtained.theoretical
    if theoretical.number <= 0:
        raise Refusal(message("bench.yield.nothing_went_in"))
    usable = _sum(theoretical.unit, (*obtained.filled, obtained.surplus, obtained.samples))
    percent = usable / theoretical * WHOLE
    rest = theoretical - usable
    if obtained.residue is not None:
        rest -= obtained.residue
    found = Yield(usable, percent, rest, limits.least <= percent <= limits.most)
    return Working(found, (_step(obtained, found), _verdict(found, limits)))


def yield_findings(found: Yield, limits: Limits = USUAL) -> tuple[Finding, ...]:
    """Return what a yield outside its limits asks for: an investigation, never topping up."""
    if found.inside:
        return ()
    said = message("bench.yield.investigate", percent=_read(found.percent), **_ends(limits))
    return (Finding(Severity.REASON, said, "yield"),)


def _step(obtained: Obtained, found: Yield) -> Message:
    return message(
        "bench.yield.step.percent",
        amount=found.amount,
        theoretical=obtained.theoretical,
        percent=_read(found.percent),
    )


def _verdict(found: Yield, limits: Limits) -> Message:
    key = "inside" if found.inside else "outside"
    return message(f"bench.yield.step.{key}", percent=_read(found.percent), **_ends(limits))


def _ends(limits: Limits) -> dict[str, Fraction]:
    return {"least": limits.least, "most": limits.most}


def _sum(unit: str, amounts: tuple[Amount | None, ...]) -> Amount:
    total = Amount(Fraction(0), unit)
    for each in amounts:
        total = total if each is None else total + each
    return total


def _read(percent: Fraction) -> Fraction:
    return round_to_significant(percent)
