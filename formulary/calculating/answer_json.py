"""Calculations and their answers as plain JSON values, for the command line and for keeping."""

from __future__ import annotations

from typing import Any

from formulary.calculating.describing import Calculation, Input
from formulary.calculating.outcome import Number, Outcome, Result
from formulary.catalogue import Catalogue
from formulary.finding import Finding
from formulary.quantity.amount import OneIn
from formulary.quantity.writing import exact_text, is_finite, plain_number


def listed(calculation: Calculation, catalogue: Catalogue) -> dict[str, Any]:
    """Return what a calculation says of itself."""
    return {
        "name": calculation.name,
        "title": catalogue.text(calculation.text("title")),
        "about": catalogue.text(calculation.text("about")),
        "inputs": [_input(each, calculation, catalogue) for each in calculation.inputs],
        "source": catalogue.text(calculation.text("source")),
        "limits": catalogue.text(calculation.text("limits")),
        "example": dict(calculation.examples),
    }


def _input(described: Input, calculation: Calculation, catalogue: Catalogue) -> dict[str, Any]:
    return {
        "name": described.name,
        "title": catalogue.text(calculation.input_said(described.name)),
        "kinds": [kind.value for kind in described.kinds],
        "units": list(described.usual_units),
        "choices": list(described.choices),
        "list": described.many,
        "required": described.required,
        "default": described.default or None,
    }


def answered(calculation: Calculation, outcome: Outcome, catalogue: Catalogue) -> dict[str, Any]:
    """Return an answer: results by name, the working, the source, findings and the caution."""
    return {
        "name": calculation.name,
        "results": [_result(each) for each in outcome.results],
        "working": [catalogue.text(step) for step in outcome.steps],
        "source": catalogue.text(calculation.text("source")),
        "limits": catalogue.text(calculation.text("limits")),
        "caution": catalogue.text(calculation.text("caution")),
        "findings": [_finding(each, catalogue) for each in outcome.findings],
    }


def _result(result: Result) -> dict[str, Any]:
    value = result.value
    if isinstance(value, bool):
        return {"name": result.name, "amount": "true" if value else "false", "unit": ""}
    if isinstance(value, str):
        return {"name": result.name, "amount": value, "unit": ""}
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
