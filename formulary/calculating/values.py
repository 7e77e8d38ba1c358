"""Inputs as read: each by its name and in its kind, exact."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, TypeVar

from formulary.messages import Message, Parameter
from formulary.quantity.amount import Amount, Concentration, OneIn

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Given:
    """The inputs of one calculation. Each look-up raises KeyError for an input left out."""

    values: Mapping[str, Any]
    typed: Mapping[str, str] = field(default_factory=dict)
    """The same as typed, where a sum needs more of a text than its value (an ion's formula)."""

    defaulted: Mapping[str, str] = field(default_factory=dict)
    """The inputs that were left out, with their defaults as the house would write them."""

    titles: Mapping[str, Message] = field(default_factory=dict)
    """What each input is called for people."""

    def called(self, name: str) -> Parameter:
        """Return what an input is called, for a sentence."""
        return self.titles.get(name, name)

    def has(self, name: str) -> bool:
        """Whether the input was given or has a default."""
        return name in self.values

    def amount(self, name: str) -> Amount:
        """Return an amount of whichever kind was typed."""
        return _as(Amount, self.values[name])

    def amounts(self, name: str) -> tuple[Amount, ...]:
        """Return a list of amounts."""
        return tuple(_as(Amount, each) for each in self.values[name])

    def strength(self, name: str) -> Concentration:
        """Return a strength; a ratio as its per cent."""
        return _strength(self.values[name])

    def strengths(self, name: str) -> tuple[Concentration, ...]:
        """Return a list of strengths."""
        return tuple(_strength(each) for each in self.values[name])

    def number(self, name: str) -> Fraction:
        """Return a number, per cent, count, density, temperature or molar mass."""
        return _as(Fraction, self.values[name])

    def numbers(self, name: str) -> tuple[Fraction, ...]:
        """Return a list of numbers."""
        return tuple(_as(Fraction, each) for each in self.values[name])

    def count(self, name: str) -> int:
        """Return a whole number."""
        return int(self.number(name))

    def text(self, name: str) -> str:
        """Return a text or a choice."""
        return _as(str, self.values[name])

    def texts(self, name: str) -> tuple[str, ...]:
        """Return a list of texts."""
        return tuple(_as(str, each) for each in self.values[name])

    def is_amount(self, name: str) -> bool:
        """Whether an input that takes several kinds was given as an amount."""
        return isinstance(self.values.get(name), Amount)

    def is_strength(self, name: str) -> bool:
        """Whether an input that takes several kinds was given as a strength."""
        return isinstance(self.values.get(name), Concentration | OneIn)


def _as(kind: type[T], value: object) -> T:
    if not isinstance(value, kind):
        raise TypeError(f"{value!r} was read as no {kind.__name__}")
    return value


def _strength(value: object) -> Concentration:
    if isinstance(value, OneIn):
        return value.as_percent()
    return _as(Concentration, value)
