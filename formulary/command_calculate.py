"""``misce calculate``: the trade's sums by name, or the list of them."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Mapping
from typing import Any

from formulary.calculating.answer_json import answered, described, listed
from formulary.calculating.help_text import as_lines, help_text
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named, every_calculation
from formulary.catalogue import Catalogue
from formulary.errors import WrongUsage
from formulary.messages import message


def asked(options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Return the answer as data and as lines for people.

    Raises :class:`formulary.errors.WrongUsage` for arguments that aren't ``key=value``.
    """
    if options.list:
        every = every_calculation()
        lines = [f"{each.name}\n    {catalogue.text(each.text('about'))}" for each in every]
        return [listed(each, catalogue) for each in every], lines
    if not options.name:
        raise WrongUsage(message("command.calculate.name_or_list"))
    calculation = calculation_named(options.name)
    if options.describe or not options.inputs:
        return described(calculation, catalogue), as_lines(help_text(calculation, catalogue))
    outcome = calculate(calculation, pairs(options.inputs), catalogue.decimal_sign)
    answer = answered(calculation, outcome, catalogue)
    return answer, _lines(answer)


def pairs(arguments: list[str]) -> dict[str, str]:
    """Return the inputs of ``key=value`` arguments; raises WrongUsage for anything else."""
    found: dict[str, str] = {}
    for argument in arguments:
        name, sign, value = argument.partition("=")
        if not sign or name.strip() in found:
            raise WrongUsage(message("command.calculate.key_and_value", argument=argument))
        found[name.strip()] = value
    return found


def _lines(answer: Mapping[str, Any]) -> list[str]:
    results = [f"{each['name']} = {each['amount']} {each['unit']}" for each in answer["results"]]
    findings = [f"{each['severity']}: {each['sentence']}" for each in answer["findings"]]
    working = [f"  {step}" for step in answer["working"]]
    return [*results, *working, *findings, answer["source"], answer["limits"], answer["caution"]]
