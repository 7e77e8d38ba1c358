"""Figures of numerical routines cut to the digits they are good for, in answers and in steps."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Context
from fractions import Fraction

from formulary.calculating.describing import speaker
from formulary.calculating.outcome import Number, Result
from formulary.messages import Message, Parameter
from formulary.quantity.amount import Amount, Concentration

DIGITS = 12
_CONTEXT = Context(prec=DIGITS)


def brief_number(number: Fraction) -> Fraction:
    """Return a number rounded to 12 significant digits (a relative error below 5e-12)."""
    top, bottom = number.as_integer_ratio()
    return Fraction(_CONTEXT.divide(top, bottom))


def brief_results(*results: Result) -> tuple[Result, ...]:
    """Return results whose numbers have 12 significant digits at most."""
    return tuple(replace(result, value=_brief_value(result.value)) for result in results)


def _brief_value(value: object) -> Amount | Concentration | Number:
    if not isinstance(value, Amount | Concentration | Number):
        raise TypeError(f"{value!r} is no figure with a unit")
    return replace(value, number=brief_number(value.number))


def brief_speaker(area: str) -> Callable[..., Message]:
    """Return a speaker whose figures have 12 significant digits at most."""
    plain_say = speaker(area)

    def say(key: str, /, **parameters: Parameter) -> Message:
        return plain_say(key, **{name: _brief(value) for name, value in parameters.items()})

    return say


def _brief(value: Parameter) -> Parameter:
    if isinstance(value, Fraction):
        return brief_number(value)
    if isinstance(value, Amount | Concentration):
        return replace(value, number=brief_number(value.number))
    return value
