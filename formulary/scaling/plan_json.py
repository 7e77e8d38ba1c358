"""A plan as plain JSON values: what the command line prints and a preparation keeps.

Decimals are strings with a point. A figure that no decimal can hold in full carries
``"rounded": true`` beside it, with the exact fraction in ``"exact"``.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from formulary.catalogue import Catalogue
from formulary.finding import Finding
from formulary.formula.fields_of import kind_text
from formulary.messages import Message
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import exact_text, is_finite, plain_number
from formulary.scaling.lots import Correction
from formulary.scaling.plan import Plan, PlannedLine
from formulary.scaling.strengths import Strength
from formulary.scaling.sub_plan import SubPlan
from formulary.tolerance import Band


def plan_json(plan: Plan, catalogue: Catalogue) -> dict[str, Any]:
    """Return the plan with its working in the catalogue's language."""
    return {
        "target": quantity_json(plan.target.ordered)
        | {"count": plan.target.count, "each": quantity_json(plan.target.each)},
        "excess": _number_json("percent", plan.excess.percent)
        | {"fixed": None if plan.excess.fixed is None else quantity_json(plan.excess.fixed)},
        "to_make": quantity_json(plan.to_make),
        "lines": [line_json(line, catalogue) for line in plan.lines],
        "total": quantity_json(plan.total),
        "strengths": [_strength(each) for each in plan.strengths],
        "working": _texts(plan.working, catalogue),
        "findings": [finding_json(each, catalogue) for each in plan.findings],
    }


def quantity_json(quantity: Amount | Concentration) -> dict[str, Any]:
    """Return ``{amount, unit}``, and what is rounded where decimals can't say it in full."""
    return {"amount": plain_number(quantity.number), "unit": quantity.unit} | _what_is_rounded(
        quantity.number
    )


def _what_is_rounded(number: Fraction, prefix: str = "") -> dict[str, Any]:
    if is_finite(number):
        return {}
    return {f"{prefix}rounded": True, f"{prefix}exact": exact_text(number)}


def _number_json(name: str, number: Fraction) -> dict[str, Any]:
    return {name: plain_number(number)} | _what_is_rounded(number, f"{name}_")


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
        "correction": None if line.correction is None else _correction(line.correction, catalogue),
        "sub_plan": None if line.sub_plan is None else _sub_plan(line.sub_plan, catalogue),
        "working": _texts(line.working, catalogue),
        "findings": [finding_json(each, catalogue) for each in line.findings],
    }


def _correction(correction: Correction, catalogue: Catalogue) -> dict[str, Any]:
    return _number_json("factor", correction.factor) | {
        "amount": quantity_json(correction.amount),
        "steps": _texts(correction.steps, catalogue),
    }


def _sub_plan(plan: SubPlan, catalogue: Catalogue) -> dict[str, Any]:
    return {
        "kind": plan.way.value,
        "amount": quantity_json(plan.aliquot),
        "with": plan.instrument,
        "contains": quantity_json(plan.contains),
        "diluent": catalogue.text(plan.diluent),
        "working": _texts(plan.steps, catalogue),
    }


def _band(band: Band) -> dict[str, Any]:
    return _number_json("percent", band.percent) | {
        "low": quantity_json(band.low),
        "high": quantity_json(band.high),
    }


def _strength(strength: Strength) -> dict[str, Any]:
    return {
        "ingredient": strength.ingredient,
        "declared": quantity_json(strength.declared),
        "actual": quantity_json(strength.actual),
    } | _number_json("deviation_percent", strength.deviation)


def _texts(said: tuple[Message, ...], catalogue: Catalogue) -> list[str]:
    return [catalogue.text(each) for each in said]
