"""Which input a refusal is about: the one whose value its sentence names."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from formulary.calculating.values import Given
from formulary.errors import BadText, Refusal
from formulary.messages import Message, Parameter
from formulary.quantity.amount import Amount, Concentration, OneIn

_PLAIN = (Fraction(0), Fraction(1), Fraction(100))
"""Figures that stand in many a sentence without being anybody's input."""


def at_its_field(refusal: Refusal, given: Given) -> Refusal:
    """Return the refusal with the only typed input that it names as its field, if it names one."""
    if isinstance(refusal, BadText):
        return refusal
    said = set(_figures(refusal.message))
    named = [
        name
        for name, value in given.values.items()
        if name not in given.defaulted and said & set(_values(value))
    ]
    return BadText(refusal.message, field=named[0]) if len(named) == 1 else refusal


def _figures(said: Message) -> Iterator[object]:
    for _, value in said.parameters:
        yield from _of_parameter(value)


def _of_parameter(value: Parameter) -> Iterator[object]:
    if isinstance(value, Message):
        yield from _figures(value)
    elif isinstance(value, Fraction | Amount | Concentration | OneIn) and value not in _PLAIN:
        yield value


def _values(value: object) -> Iterator[object]:
    for each in value if isinstance(value, tuple) else (value,):
        if isinstance(each, Fraction | Amount | Concentration | OneIn):
            yield each
