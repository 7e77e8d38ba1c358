"""A question to a calculation and its answer, as plain data that may pass between threads."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from time import perf_counter

from formulary.calculating.describing import Calculation
from formulary.calculating.outcome import Outcome
from formulary.calculating.reading import read_inputs, worked
from formulary.calculating.saying import result_name, value_said
from formulary.calculating.values import Given
from formulary.catalogue import Catalogue
from formulary.errors import FormularyError


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
            outcome = worked(self.calculation, given)
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
            name = result_name(answer.question.calculation.area, result, catalogue)
            yield Figure(name, value_said(result.value, catalogue))


def steps(answer: Answer, catalogue: Catalogue) -> tuple[str, ...]:
    """Return the lines of the working."""
    return tuple(map(catalogue.text, answer.outcome.steps)) if answer.outcome else ()
