"""The limits of a weighing or measuring, as the instrument can show them."""

from __future__ import annotations

from formulary.catalogue import Catalogue
from formulary.house import Balance, House, Measure
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient
from ui.widgets.figure import taken_apart


def limits_said(
    low: Amount, high: Amount, figure: Amount, step: Amount | None, catalogue: Catalogue
) -> str:
    """Return the outermost readings inside the limits, in the unit of the figure, said once.

    ``step`` is the readability of the instrument, None where it isn't known.
    """
    unit = convenient(figure).unit
    least, most = (each.to(unit) for each in outermost(low, high, step))
    shortest = taken_apart(catalogue.written(least)).number()
    return catalogue.text(message("ui_formulas.scale.band", low=shortest, high=most))


def outermost(low: Amount, high: Amount, step: Amount | None) -> tuple[Amount, Amount]:
    """Return the outermost readings of an instrument that are still inside the limits."""
    return _inward(low, step, up=True), _inward(high, step, up=False)


def readability(house: House, name: str) -> Amount | None:
    """Return the readability of the instrument of that name."""
    instruments: tuple[Balance | Measure, ...] = (*house.balances, *house.measures)
    for each in instruments:
        if each.name == name:
            return each.readability
    return None


def _inward(amount: Amount, step: Amount | None, *, up: bool) -> Amount:
    """Return the outermost reading of the instrument that is still inside."""
    if step is None:
        return amount
    unit = step.to(amount.unit).number
    steps = amount.number / unit
    whole = -(-steps.numerator // steps.denominator) if up else steps.numerator // steps.denominator
    return Amount(whole * unit, amount.unit)
