"""A body weight that can hardly be one: grams typed for kilograms, or a figure too many."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.outcome import caution
from formulary.calculating.values import Given
from formulary.finding import Finding
from formulary.messages import message

LEAST, MOST = Fraction("0.4"), Fraction(350)
"""The weights in kg for which the formulas of body surface are used; animals may weigh less."""


def weight_doubts(given: Given, name: str = "body_weight") -> tuple[Finding, ...]:
    """Return the doubt about a body weight outside those of people."""
    if not given.has(name) or LEAST <= given.amount(name).to("kg").number <= MOST:
        return ()
    return (caution(message("calculating.body_weight", weight=given.amount(name)), name),)
