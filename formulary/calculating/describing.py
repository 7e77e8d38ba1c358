"""What a calculation says of itself: its inputs with their kinds, its source and its limits."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import reduce
from typing import TypeAlias

from formulary.calculating.outcome import Outcome
from formulary.calculating.values import Given
from formulary.finding import Severity
from formulary.messages import Message, Parameter, message


class Kind(StrEnum):
    """What an input takes; the amounts are named by what they measure."""

    MASS = "mass"
    VOLUME = "volume"
    ACTIVITY = "international units"
    DROPS = "drops"
    PIECES = "pieces"
    SUBSTANCE = "amount of substance"
    EQUIVALENTS = "equivalents"
    OSMOLES = "osmoles"
    TIME = "time"
    LENGTH = "length"
    AREA = "area"
    STRENGTH = "strength"
    """Per cent with its kind, a ratio, or an amount in an amount (2 mg/mL, 5 mg/kg, 2 mmol/L)."""
    PERCENT = "per cent"
    """A bare per cent, where its kind doesn't matter or the calculation fixes it."""
    NUMBER = "number"
    COUNT = "whole number"
    TEMPERATURE = "temperature"
    """Degrees Celsius, written 20 °C; may be below zero."""
    DENSITY = "density"
    """Grams in one mL; a bare number is taken as relative density, the same figure."""
    MOLAR_MASS = "molar mass"
    """Grams in one mole; a bare number, or a chemical formula such as C6H8O7.H2O."""
    CHOICE = "choice"
    TEXT = "text"


AMOUNTS = {
    Kind.MASS: ("g", "mg", "microgram", "nanogram", "kg"),
    Kind.VOLUME: ("mL", "L", "microlitre"),
    Kind.ACTIVITY: ("international unit",),
    Kind.DROPS: ("drop",),
    Kind.PIECES: ("piece",),
    Kind.SUBSTANCE: ("mmol", "mol", "micromole"),
    Kind.EQUIVALENTS: ("mEq", "Eq"),
    Kind.OSMOLES: ("mOsm", "Osm"),
    Kind.TIME: ("day", "hour", "minute", "week"),
    Kind.LENGTH: ("cm", "mm"),
    Kind.AREA: ("m2", "cm2"),
}
"""The units that an amount of each kind may have, the usual one first."""

OTHER_UNITS = {
    Kind.STRENGTH: ("% w/w", "% w/v", "% v/v", "mg/g", "mg/mL", "1 in"),
    Kind.PERCENT: ("%",),
    Kind.TEMPERATURE: ("°C",),
    Kind.DENSITY: ("g/mL",),
    Kind.MOLAR_MASS: ("g/mol",),
}


Suggested: TypeAlias = Callable[[], tuple[str, ...]]
"""The names to propose while one is typed; a table is read only then."""


def none_suggested() -> tuple[str, ...]:
    """Return that there is nothing to propose."""
    return ()


@dataclass(frozen=True, slots=True)
class Input:
    """One input: ``many`` takes a list, parted by semicolons.

    ``default`` is text as a person would type it; an input with one isn't required. ``optional``
    inputs may be left out without a default. ``least`` and ``most`` bound the number as typed, in
    the first of its units; ``positive`` refuses zero. ``choices`` belong to :attr:`Kind.CHOICE`.
    A default that isn't neutral has ``assumed``: an answer that took it says so as loudly as that.
    With ``matters_with`` it matters only if one of those inputs was given. ``suggested`` names are
    those of a table that a text is looked up in.
    """

    name: str
    kinds: tuple[Kind, ...]
    many: bool = False
    default: str = ""
    optional: bool = False
    positive: bool = True
    least: Fraction | None = None
    most: Fraction | None = None
    choices: tuple[str, ...] = ()
    units: tuple[str, ...] = ()
    assumed: Severity | None = None
    matters_with: tuple[str, ...] = ()
    suggested: Suggested = none_suggested

    @property
    def required(self) -> bool:
        """Whether the calculation can't do without it being typed."""
        return not self.optional and not self.default

    @property
    def usual_units(self) -> tuple[str, ...]:
        """The units to offer: the input's own, else those of its kinds."""
        if self.units:
            return self.units
        return tuple(unit for kind in self.kinds for unit in _units_of(kind))


def _units_of(kind: Kind) -> tuple[str, ...]:
    return AMOUNTS.get(kind) or OTHER_UNITS.get(kind, ())


@dataclass(frozen=True, slots=True)
class Calculation:
    """One sum: ``name`` as typed on the command line, ``area`` of its texts, its ``work``.

    ``examples`` are inputs with which it works, for the help and for a first look.
    """

    name: str
    area: str
    inputs: tuple[Input, ...]
    work: Callable[[Given], Outcome]
    examples: tuple[tuple[str, str], ...] = ()

    def text(self, part: str) -> Message:
        """Return one of its texts: ``title``, ``about``, ``source``, ``limits``, ``caution``.

        ``words`` are those of the trade by which it is looked for besides.
        """
        return message(f"{self.area}.{self.name.replace('-', '_')}.{part}")

    def input_said(self, name: str) -> Message:
        """Return the name of an input for people."""
        return message(f"{self.area}.input.{name}")


def written_sum(parts: Sequence[Parameter]) -> Parameter:
    """Return the parts of a sum written out: "2 g + 3 g". Raises TypeError for no parts."""
    return reduce(lambda one, other: message("calculating.plus", one=one, other=other), parts)


def speaker(area: str) -> Callable[..., Message]:
    """Return a function that makes messages of one area: ``say("step.mix", total=total)``."""

    def say(key: str, /, **parameters: Parameter) -> Message:
        return message(f"{area}.{key}", **parameters)

    return say
