"""Why it is made here at all: adapted to the house, no product on the market, risk, permission."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.finding import Finding
from formulary.formula.content import Route
from formulary.formula.justifying import HIGH_RISK, SpecialRisk
from formulary.messages import message
from formulary.review.case import Case
from formulary.review.rule import Rule, note, reason, standard, stop
from formulary.review.substances import rows_for


def adapted(case: Case) -> Iterator[Finding]:
    """Find a formula from elsewhere that doesn't name the house's own container and equipment."""
    content = case.content
    if not content.adapted_from:
        return
    if content.container is None:
        yield reason("not_adapted_container", "container.text", standard("adapted"))
    if not any(step.equipment.strip() for step in content.steps):
        yield reason("not_adapted_equipment", "step.0.equipment", standard("adapted"))


def marketed_alternative(case: Case) -> Iterator[Finding]:
    """Find that nobody said whether a marketed product would do, or when that was looked up."""
    content = case.content
    if content.route is Route.NOT_A_MEDICINE:
        return
    if not content.marketed:
        yield note("marketed_unsaid", "marketed", standard("added_value"))
    elif content.marketed_checked is None:
        yield note("marketed_undated", "marketed_checked", standard("added_value"))


def risk(case: Case) -> Iterator[Finding]:
    """Find a risk that nobody assessed, and one so high that another standard holds."""
    sheet = case.content.risk
    if sheet is None:
        yield note("risk_unassessed", "risk.product", standard("risk"))
    elif sheet.is_high:
        said = {"score": sheet.score, "most": HIGH_RISK}
        yield reason("risk_high", "risk.decision", standard("risk"), **said)


def permission(case: Case) -> Iterator[Finding]:
    """Find a class of special risk that the house has no permission for, where it lists them."""
    allowed = case.facts.permissions
    if not allowed:
        return
    for each in _classes(case):
        if each not in allowed:
            what = message(f"formula.special_risk.{each.name.lower()}")
            yield stop("no_permission", "special_risks", standard("permission"), what=what)


def _classes(case: Case) -> tuple[SpecialRisk, ...]:
    """Return what the formula itself says, and what its ingredients make of it."""
    listed = any(rows_for("hazardous-drugs", part.names) for part in case.parts)
    of_itself = (SpecialRisk.CMR,) if listed else ()
    return tuple(dict.fromkeys((*case.content.special_risks, *of_itself)))


RULES = (
    Rule("adapted", adapted),
    Rule("marketed_alternative", marketed_alternative),
    Rule("risk_assessed", risk),
    Rule("special_permission", permission),
)
