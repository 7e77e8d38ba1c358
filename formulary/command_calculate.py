"""``misce calculate``: the trade's sums by name, or the list of them."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Mapping
from typing import Any

from formulary.calculating.answer_json import answered, listed
from formulary.calculating.describing import Calculation, Input
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
        every = [listed(each, catalogue) for each in every_calculation()]
        return every, [f"{each['name']}\n    {each['about']}" for each in every]
    if not options.name:
        raise WrongUsage(message("command.calculate.name_or_list"))
    calculation = calculation_named(options.name)
    if not options.inputs:
        return listed(calculation, catalogue), _described(calculation, catalogue)
    outcome = calculate(calculation, _pairs(options.inputs), catalogue.decimal_sign)
    answer = answered(calculation, outcome, catalogue)
    return answer, _lines(answer)


def _pairs(arguments: list[str]) -> dict[str, str]:
    pairs: dict[str, str] = {}
    for argument in arguments:
        name, sign, value = argument.partition("=")
        if not sign or name in pairs:
            raise WrongUsage(message("command.calculate.key_and_value", argument=argument))
        pairs[name.strip()] = value
    return pairs


def _described(calculation: Calculation, catalogue: Catalogue) -> list[str]:
    """Return a calculation's inputs with their kinds, and its example as a command."""
    text = catalogue.text
    example = " ".join(f'{name}="{value}"' for name, value in calculation.examples)
    return [
        f"{calculation.name}: {text(calculation.text('title'))}",
        text(calculation.text("about")),
        *(_input(each, calculation, catalogue) for each in calculation.inputs),
        text(calculation.text("source")),
        text(calculation.text("limits")),
        text(calculation.text("caution")),
        f"misce calculate {calculation.name} {example}",
    ]


def _input(described: Input, calculation: Calculation, catalogue: Catalogue) -> str:
    kinds = ", ".join(described.choices or (kind.value for kind in described.kinds))
    need = "required" if described.required else "optional"
    said = catalogue.text(
        message(
            f"command.calculate.{need}",
            name=described.name,
            title=calculation.input_said(described.name),
            kinds=kinds,
            default=described.default or "–",
        )
    )
    return f"  {said}"


def _lines(answer: Mapping[str, Any]) -> list[str]:
    results = [f"{each['name']} = {each['amount']} {each['unit']}" for each in answer["results"]]
    findings = [f"{each['severity']}: {each['sentence']}" for each in answer["findings"]]
    working = [f"  {step}" for step in answer["working"]]
    return [*results, *working, *findings, answer["source"], answer["limits"], answer["caution"]]
