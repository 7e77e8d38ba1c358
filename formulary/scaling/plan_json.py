"""A plan as plain JSON values: what the command line prints and a preparation keeps.

Decimals are strings with a point. A figure that no decimal can hold in full carries
``"rounded": true`` beside it, with the exact fraction in ``"exact"``.
"""

from __future__ import annotations

from typing import Any

from formulary.catalogue import Catalogue
from formulary.finding import Finding
from formulary.formula.fields_of import kind_text
from formulary.messages import Message
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import exact_text, is_finite, plain_number
from formulary.scaling.plan import Plan, PlannedLine
from formulary.scaling.strengths import Strength
from formulary.tolerance import Band


def plan_json(plan: Plan, catalogue: Catalogue) -> dict[str, Any]:
    """Return the plan with its working in the catalogue's language."""
    return {
        "target": quantity_json(plan.target.ordered)
        | {"count": plan.target.count, "each": quantity_json(plan.target.each)},
        "to_make": quantity_json(plan.to_make),
        "lines": [line_json(line, catalogue) for line in plan.lines],
        "total": quantity_json(plan.total),
        "strengths": [_strength(each) for each in plan.strengths],
        "working": _texts(plan.working, catalogue),
        "findings": [finding_json(each, catalogue) for each in plan.findings],
    }


def quantity_json(quantity: Amount | Concentration) -> dict[str, Any]:
    """Return ``{amount, unit}``, and what is rounded where decimals can't say it in full."""
    found: dict[str, Any] = {"amount": plain_number(quantity.number), "unit": quantity.unit}
    if not is_finite(quantity.number):
        found |= {"rounded": True, "exact": exact_text(quantity.number)}
    return found


def finding_json(finding: Finding, catalogue: Catalogue) -> dict[str, Any]:
    """Return a finding with its sentence."""
    return {
        "severity": finding.severity.value,
        "sentence": catalogue.text(finding.said),
        "field": finding.field,
        "source": catalogue.text(finding.source) if finding.source else "",
    }


def line_json(line: PlannedLine, catalogue: Catalogue) -> dict[str, Any]:
    """Return one line's way to the bench."""
    return {
        "ingredient": line.line.ingredient,
        "role": line.line.role.value,
        "as_written": kind_text(line.line.quantity),
        "required": None if line.required is None else quantity_json(line.required),
        "up_to": line.up_to,
        "to_measure": None if line.to_measure is None else quantity_json(line.to_measure),
        "with": line.instrument,
        "tolerance": None if line.band is None else _band(line.band),
        "working": _texts(line.working, catalogue),
        "findings": [finding_json(each, catalogue) for each in line.findings],
    }


def _band(band: Band) -> dict[str, Any]:
    return {
        "percent": plain_number(band.percent),
        "low": quantity_json(band.low),
        "high": quantity_json(band.high),
    }


def _strength(strength: Strength) -> dict[str, Any]:
    return {
        "ingredient": strength.ingredient,
        "declared": quantity_json(strength.declared),
        "actual": quantity_json(strength.actual),
        "deviation_percent": plain_number(strength.deviation),
    }


def _texts(said: tuple[Message, ...], catalogue: Catalogue) -> list[str]:
    return [catalogue.text(each) for each in said]
