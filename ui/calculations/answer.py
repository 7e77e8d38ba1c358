"""A question to a calculation and its answer, as plain data that may pass between threads."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from time import perf_counter

from formulary.calculating.describing import Calculation
from formulary.calculating.outcome import Number, Outcome, Result, Value
from formulary.calculating.reading import read_inputs
from formulary.calculating.values import Given
from formulary.catalogue import Catalogue, UnknownTextError
from formulary.errors import FormularyError
from formulary.messages import message
from formulary.quantity.amount import Parts
from formulary.quantity.writing import NO_BREAK_SPACE
from ui.calculations.units import unit_said

_NUMBERED = re.compile(r"(?P<name>.+)_(?P<number>\d+)")


@dataclass(frozen=True, slots=True)
class Question:
    """A calculation with its inputs as typed, and the decimal sign they are typed with."""

    calculation: Calculation
    typed: Mapping[str, str]
    sign: str

    def answered(self) -> Answer:
        """Return the answer; what can't be calculated is part of it."""
        started = perf_counter()
        given = outcome = trouble = None
        try:
            given = read_inputs(self.calculation, self.typed, self.sign)
            outcome = self.calculation.work(given)
        except FormularyError as error:
            trouble = error
        return Answer(self, given, outcome, trouble, perf_counter() - started)


@dataclass(frozen=True, slots=True)
class Answer:
    """What came of a question: an outcome, or what is in its way; ``seconds`` that it took."""

    question: Question
    given: Given | None
    outcome: Outcome | None
    trouble: FormularyError | None
    seconds: float


@dataclass(frozen=True, slots=True)
class Figure:
    """One result for a reader: its name and its value with the unit."""

    name: str
    value: str


def figures(answer: Answer, catalogue: Catalogue) -> Iterator[Figure]:
    """Yield the results in their order, the main one first."""
    if answer.outcome is not None:
        for result in answer.outcome.results:
            name = _name(answer.question.calculation.area, result, catalogue)
            yield Figure(name, value_said(result.value, catalogue))


def steps(answer: Answer, catalogue: Catalogue) -> tuple[str, ...]:
    """Return the lines of the working."""
    return tuple(map(catalogue.text, answer.outcome.steps)) if answer.outcome else ()


def value_said(value: Value, catalogue: Catalogue) -> str:
    """Return a result as it is written."""
    if isinstance(value, bool):
        return catalogue.text(f"ui_calculations.{'yes' if value else 'no'}")
    if not isinstance(value, Number):
        return catalogue.written(value)
    if value.unit == "parts":
        return catalogue.written(Parts(value.number))
    number = catalogue.written(value.number)
    unit = unit_said(value.unit, catalogue)
    return f"{number}{NO_BREAK_SPACE}{unit}" if unit else number


def _name(area: str, result: Result, catalogue: Catalogue) -> str:
    """Return a result's name; those of a list are called by one name and their number."""
    try:
        return catalogue.text(f"{area}.result.{result.name}")
    except UnknownTextError:
        found = _NUMBERED.fullmatch(result.name)
        if found is None:
            raise
    said = message(f"{area}.result.{found['name']}")
    return catalogue.text(
        message("ui_calculations.numbered", name=said, number=int(found["number"]))
    )
