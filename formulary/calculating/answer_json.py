"""Calculations and their answers as plain JSON values, for the command line and for keeping."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from formulary.calculating.describing import Calculation, Input
from formulary.calculating.outcome import Number, Outcome, Result
from formulary.catalogue import Catalogue
from formulary.finding import Finding
from formulary.quantity.amount import OneIn
from formulary.quantity.money import Money
from formulary.quantity.writing import exact_text, is_finite, plain_money, plain_number


def listed(calculation: Calculation, catalogue: Catalogue) -> dict[str, Any]:
    """Return a calculation as an item of the list: its name, its inputs and its source."""
    return {
        "name": calculation.name,
        "inputs": [_input(each) for each in calculation.inputs],
        "source": catalogue.text(calculation.text("source")),
    }


def described(calculation: Calculation, catalogue: Catalogue) -> dict[str, Any]:
    """Return all that a calculation says of itself."""
    inputs = [
        _input(each) | _more_of_input(each, calculation, catalogue) for each in calculation.inputs
    ]
    parts = ("title", "about", "words", "source", "limits", "caution")
    said = {part: catalogue.text(calculation.text(part)) for part in parts}
    example = dict(calculation.examples)
    return {"name": calculation.name, "inputs": inputs, "example": example} | said


def _input(described: Input) -> dict[str, Any]:
    return {
        "name": described.name,
        "kinds": [kind.value for kind in described.kinds],
        "units": list(described.usual_units),
        "required": described.required,
        "default": described.default or None,
    }


def _more_of_input(
    described: Input, calculation: Calculation, catalogue: Catalogue
) -> dict[str, Any]:
    return {
        "title": catalogue.text(calculation.input_said(described.name)),
        "choices": list(described.choices),
        "list": described.many,
        "least": _bound(described.least),
        "most": _bound(described.most),
        "above_zero": described.positive,
    }


def _bound(number: Fraction | None) -> str | None:
    return None if number is None else plain_number(number)


def answered(calculation: Calculation, outcome: Outcome, catalogue: Catalogue) -> dict[str, Any]:
    """Return an answer: results by name, the working, the source, findings and the caution."""
    return {
        "name": calculation.name,
        "results": [_of(each, catalogue) for each in outcome.results],
        "working": [catalogue.text(step) for step in outcome.steps],
        "source": catalogue.text(calculation.text("source")),
        "limits": catalogue.text(calculation.text("limits")),
        "caution": catalogue.text(calculation.text("caution")),
        "findings": [_finding(each, catalogue) for each in outcome.findings],
    }


def _of(result: Result, catalogue: Catalogue) -> dict[str, Any]:
    """Return a result, with what it belongs to where it says so."""
    return _result(result) | ({"of": catalogue.written(result.of)} if result.of else {})


def _result(result: Result) -> dict[str, Any]:
    value = result.value
    if isinstance(value, bool):
        return {"name": result.name, "amount": "true" if value else "false", "unit": ""}
    if isinstance(value, str):
        return {"name": result.name, "amount": value, "unit": ""}
    if isinstance(value, Money):
        return {"name": result.name, "amount": plain_money(value), "unit": value.unit}
    if isinstance(value, OneIn):
        number, unit = value.total, f"1 in, {value.kind}"
    else:
        number, unit = value.number, value.unit
    found: dict[str, Any] = {"name": result.name, "amount": plain_number(number), "unit": unit}
    if isinstance(value, Number) and value.rounded:
        return found | {"rounded": True}
    if not is_finite(number):
        return found | {"rounded": True, "exact": exact_text(number)}
    return found


def _finding(finding: Finding, catalogue: Catalogue) -> dict[str, Any]:
    return {
        "severity": finding.severity.value,
        "sentence": catalogue.text(finding.said),
        "field": finding.field,
    }
