"""``misce calculate``: the trade's sums by name, or the list of them."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from typing import Any

from formulary.calculating import search
from formulary.calculating.answer_json import answered, described, listed
from formulary.calculating.describing import Calculation
from formulary.calculating.help_text import NOTES, as_lines, help_text
from formulary.calculating.outcome import Outcome
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named, every_calculation
from formulary.calculating.saying import result_name, value_said
from formulary.catalogue import Catalogue
from formulary.errors import NotFound, WrongUsage
from formulary.messages import message


def asked(options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Return the answer as data and as lines for people.

    Raises :class:`formulary.errors.WrongUsage` for arguments that aren't ``key=value``.
    """
    if options.list:
        every = found([each for each in (options.name, *options.inputs) if each], catalogue)
        lines = [line for each in every for line in _listed(each, catalogue)]
        return [listed(each, catalogue) for each in every], lines
    if not options.name:
        raise WrongUsage(message("command.calculate.name_or_list"))
    calculation = calculation_named(options.name)
    if options.describe or not options.inputs:
        return described(calculation, catalogue), as_lines(help_text(calculation, catalogue))
    outcome = calculate(calculation, pairs(options.inputs), catalogue.decimal_sign)
    return answered(calculation, outcome, catalogue), as_read(calculation, outcome, catalogue)


def found(sought: Sequence[str], catalogue: Catalogue) -> list[Calculation]:
    """Return the calculations that words find as in the window, best first; without any, all.

    Raises :class:`formulary.errors.NotFound` where there is none, with near words that find one.
    """
    text = " ".join(sought)
    if not text.strip():
        return list(every_calculation())
    every = search.entries(catalogue)
    fitting = search.found(every, text)
    if fitting:
        return [calculation_named(each.name) for each in fitting]
    words = search.near(every, text)
    key = "near" if words else "none_found"
    raise NotFound(message(f"command.calculate.{key}", words=words))


def _listed(calculation: Calculation, catalogue: Catalogue) -> tuple[str, str, str]:
    about, words = (catalogue.text(calculation.text(part)) for part in ("about", "words"))
    also = catalogue.text(message("command.calculate.also", words=words))
    return calculation.name, f"    {about}", f"    {also}"


def pairs(arguments: list[str]) -> dict[str, str]:
    """Return the inputs of ``key=value`` arguments; raises WrongUsage for anything else."""
    found: dict[str, str] = {}
    for argument in arguments:
        name, sign, value = argument.partition("=")
        if not sign or name.strip() in found:
            raise WrongUsage(message("command.calculate.key_and_value", argument=argument))
        found[name.strip()] = value
    return found


def as_read(calculation: Calculation, outcome: Outcome, catalogue: Catalogue) -> list[str]:
    """Return an answer for a person: each result, the working, and what holds for it."""
    text = catalogue.text
    results = [
        f"{result_name(calculation.area, each, catalogue)}: {value_said(each.value, catalogue)}"
        for each in outcome.results
    ]
    findings = [
        f"{text(f'calculating.severity.{each.severity.name.lower()}')}: {text(each.said)}"
        for each in outcome.findings
    ]
    notes = [
        f"{text(f'calculating.help.{note}')}: {text(calculation.text(note))}" for note in NOTES
    ]
    working = [f"{text('calculating.working')}:", *(f"  {text(step)}" for step in outcome.steps)]
    return [*results, *working, *findings, *notes]
