"""What is to be said to a person, before any language: a key and its typed parameters."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import TypeAlias, Union

from formulary.quantity.amount import Amount, Concentration, OneIn, Parts
from formulary.quantity.money import Money

Parameter: TypeAlias = Union[
    str,
    int,
    Fraction,
    Decimal,
    date,
    datetime,
    Amount,
    Concentration,
    OneIn,
    Parts,
    Money,
    "Message",
    tuple["Parameter", ...],
]


@dataclass(frozen=True, slots=True)
class Message:
    """A sentence's key in the catalogue with its parameters, sorted by name.

    Pure modules return messages; only :mod:`formulary.catalogue` turns one into text, in the
    language and with the decimal sign that its reader uses.
    """

    key: str
    parameters: tuple[tuple[str, Parameter], ...] = ()


def message(key: str, **parameters: Parameter) -> Message:
    """Return the message ``key`` with its parameters in a canonical order."""
    return Message(key, tuple(sorted(parameters.items())))
