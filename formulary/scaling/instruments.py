"""Which balance or measure can do an amount, and what to read on it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeVar

from formulary.finding import Finding, Severity
from formulary.house import Balance, House, Measure
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.rounding import round_half_even_to, round_to_significant
from formulary.quantity.units import Dimension
from formulary.scaling.sub_plan import SubPlan

Instrument = TypeVar("Instrument", Balance, Measure)

READABILITY_IN_TOLERANCE = 10
"""A balance reads at least this many steps in the tolerance (a house habit, no source)."""


@dataclass(frozen=True, slots=True)
class ToMeasure:
    """What is read on which instrument; ``amount`` is None where no instrument can do it.

    With a ``sub_plan`` it is an aliquot that is read.
    """

    amount: Amount | None
    instrument: str
    steps: tuple[Message, ...] = ()
    findings: tuple[Finding, ...] = ()
    sub_plan: SubPlan | None = None

    @property
    def holds(self) -> Amount | None:
        """The substance itself in what is read."""
        return self.amount if self.sub_plan is None else self.sub_plan.contains


def measured(
    required: Amount, house: House | None, tolerance: Fraction, chosen: str = ""
) -> ToMeasure:
    """Return the amount rounded to the readability of the instrument that does it.

    ``tolerance`` is the allowed error in per cent: the coarsest balance does it whose readability
    is no more than a tenth of that, else the finest able one. A measure is no larger than needed.
    Drops and pieces are counted in whole numbers. Without a house nothing is rounded.
    """
    dimension = units.dimension(required.unit)
    if dimension in (Dimension.DROPS, Dimension.PIECES):
        return _counted(required, tolerance)
    if house is None:
        return ToMeasure(required, "", findings=(_note("no_house"),))
    if dimension == Dimension.MASS:
        return _on(
            required,
            _named(house.balances, chosen),
            tolerance,
            lambda able: _balance(able, required, tolerance),
        )
    if dimension == Dimension.VOLUME:
        measures = _named(house.measures, chosen)
        return _on(required, measures, tolerance, lambda able: min(able, key=_size))
    return ToMeasure(None, "", findings=(_stop("activity_needs_potency", required=required),))


def able(required: Amount, house: House) -> tuple[str, ...]:
    """Return the names of the house's balances or measures that can do the amount."""
    kind = units.dimension(required.unit)
    instruments: Sequence[Balance | Measure] = ()
    if kind == Dimension.MASS:
        instruments = house.balances
    elif kind == Dimension.VOLUME:
        instruments = house.measures
    return tuple(each.name for each in instruments if each.minimum <= required <= each.capacity)


def _note(key: str) -> Finding:
    return Finding(Severity.NOTE, message(f"scaling.finding.{key}"), "to_measure")


def _stop(key: str, **parameters: Amount | str) -> Finding:
    return Finding(Severity.STOP, message(f"scaling.finding.{key}", **parameters), "to_measure")


def _named(instruments: Sequence[Instrument], chosen: str) -> Sequence[Instrument]:
    return [each for each in instruments if each.name == chosen] if chosen else instruments


def _counted(required: Amount, tolerance: Fraction) -> ToMeasure:
    whole = round_half_even_to(required, Amount(Fraction(1), required.unit))
    if whole == required:
        return ToMeasure(required, "")
    step = message("scaling.step.counted", required=required, amount=whole)
    if whole.number == 0:
        return ToMeasure(None, "", (step,), (_stop("less_than_one", required=required),))
    return ToMeasure(whole, "", (step,), rounding_findings(required, whole, tolerance))


def rounding_findings(required: Amount, read: Amount, tolerance: Fraction) -> tuple[Finding, ...]:
    """Return a finding where rounding alone takes the reading out of the line's tolerance."""
    percent = abs(read / required - 1) * 100
    if percent <= tolerance:
        return ()
    said = message(
        "scaling.finding.rounded_beyond_tolerance",
        required=required,
        amount=read,
        percent=round_to_significant(percent, 2),
        tolerance=tolerance,
    )
    return (Finding(Severity.REASON, said, "to_measure"),)


def _on(
    required: Amount,
    named: Sequence[Instrument],
    tolerance: Fraction,
    choose: Callable[[Sequence[Instrument]], Instrument],
) -> ToMeasure:
    able = [each for each in named if _least(each) <= required <= each.capacity]
    if not able:
        return ToMeasure(None, "", findings=(_unable(required, named),))
    best = choose(able)
    amount = round_half_even_to(required, best.readability)
    step = message(
        "scaling.step.rounded",
        required=required,
        instrument=best.name,
        readability=best.readability,
        amount=amount,
    )
    return ToMeasure(amount, best.name, (step,), rounding_findings(required, amount, tolerance))


def _least(instrument: Balance | Measure) -> Amount:
    """Return the least amount it can do: under its readability it would show nothing."""
    return max(instrument.minimum, instrument.readability)


def _balance(able: Sequence[Balance], required: Amount, tolerance: Fraction) -> Balance:
    allowed = required * (tolerance / 100 / READABILITY_IN_TOLERANCE)
    enough = [each for each in able if each.readability <= allowed]
    return max(enough, key=_fineness) if enough else min(able, key=_fineness)


def _fineness(instrument: Balance | Measure) -> tuple[Fraction, Fraction]:
    """Order balances by readability, then by capacity."""
    return _base(instrument.readability), _base(instrument.capacity)


def _size(instrument: Balance | Measure) -> tuple[Fraction, Fraction]:
    """Order measures by capacity, then by readability: none larger than needed measures it."""
    return _base(instrument.capacity), _base(instrument.readability)


def _base(amount: Amount) -> Fraction:
    return amount.to("g" if units.dimension(amount.unit) == Dimension.MASS else "mL").number


def _unable(required: Amount, instruments: Sequence[Instrument]) -> Finding:
    if not instruments:
        return _stop("no_instrument", required=required)
    least = min(map(_least, instruments), key=_base)
    if required < least:
        return _stop("under_minimum", required=required, minimum=least)
    most = max((each.capacity for each in instruments), key=_base)
    if required > most:
        return _stop("over_capacity", required=required, capacity=most)
    return _stop("between_instruments", required=required)
