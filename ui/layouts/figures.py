"""Measures as they are typed and shown: in the house's decimal sign."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from formulary.quantity.typed_number import parse_number
from ui.context import Context
from ui.widgets.quantity_edit import NO_MEANING, Meaning, Understand


def shown(context: Context, measures: Mapping[str, float]) -> dict[str, str]:
    """Return measures as texts."""
    return {
        name: context.catalogue.written(Fraction(str(round(number, 2))))
        for name, number in measures.items()
    }


def read(context: Context, typed: Mapping[str, str]) -> dict[str, float]:
    """Return what was typed as numbers, nothing as 0.

    Raises :class:`formulary.errors.BadText` for what is none.
    """
    sign = context.house.decimal_sign
    return {
        name: float(parse_number(text, sign)) if text.strip() else 0.0
        for name, text in typed.items()
    }


def a_number(context: Context) -> Understand:
    """Understand a number that may be 0."""

    def understand(text: str) -> Meaning:
        if text.strip():
            parse_number(text, context.house.decimal_sign)
        return NO_MEANING

    return understand
