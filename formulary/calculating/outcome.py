"""What a calculation answers: named results, the working, and findings."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from formulary.finding import Finding, Severity
from formulary.messages import Message, Parameter
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.quantity.money import Money


@dataclass(frozen=True, slots=True)
class Number:
    """A figure whose unit is none of the amounts: a factor, an HLB, a pH, a per cent, °C.

    ``rounded`` marks the result of a numerical routine (a logarithm, a density polynomial), whose
    error bound the routine states.
    """

    number: Fraction
    unit: str = ""
    rounded: bool = False


Value: TypeAlias = Amount | Concentration | OneIn | Number | Money | bool | str


@dataclass(frozen=True, slots=True)
class Result:
    """One figure of the answer under its name (``stock``, ``diluent``); lists number theirs.

    ``of`` says what it belongs to where the name can't: an ion, a source of 10 % w/w.
    """

    name: str
    value: Value
    of: Parameter = ""


@dataclass(frozen=True, slots=True)
class Outcome:
    """Everything a calculation answers; the last step states the main result."""

    results: tuple[Result, ...]
    steps: tuple[Message, ...]
    findings: tuple[Finding, ...] = ()

    def value(self, name: str) -> Value:
        """Return the result of that name. Raises KeyError if there is none."""
        for result in self.results:
            if result.name == name:
                return result.value
        raise KeyError(name)


def note(said: Message, field: str = "") -> Finding:
    """Return a finding that informs."""
    return Finding(Severity.NOTE, said, field)


def caution(said: Message, field: str = "") -> Finding:
    """Return a finding that needs thought before the figure is used."""
    return Finding(Severity.REASON, said, field)
