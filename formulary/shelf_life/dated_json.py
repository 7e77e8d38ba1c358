"""A date with all that led to it, as plain JSON values in a house's language."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from formulary.catalogue import Catalogue
from formulary.formula.periods import said as period_said
from formulary.scaling.plan_json import finding_json
from formulary.shelf_life.asked import Candidate
from formulary.shelf_life.dating import Dated


def dated_json(found: Dated, catalogue: Catalogue) -> dict[str, Any]:
    """Return the last day of use, what bound it, every limit, the working and the findings."""
    bound, working = found.bound_by, found.working
    return {
        "rule_set": {
            "code": found.rules.code,
            "title": found.rules.title,
            "citation": found.rules.citation,
        },
        "made": found.made_on.isoformat(),
        "use_by": found.use_by.isoformat(),
        "bound_by": catalogue.text(bound.said),
        "kind": bound.kind.value,
        "after_opening": catalogue.text(period_said(found.opened)) if found.opened else None,
        "candidates": [_candidate(each, catalogue) for each in found.candidates],
        "working": [catalogue.text(each) for each in working.steps],
        "findings": [finding_json(each, catalogue) for each in found.findings],
    }


def _candidate(each: Candidate, catalogue: Catalogue) -> dict[str, Any]:
    return {
        "kind": each.kind.value,
        "limit": catalogue.text(each.said),
        "date": each.last_day.isoformat(),
        "source": catalogue.text(each.source) if each.source else None,
        "counts": each.counts,
    }


@dataclass(frozen=True, slots=True)
class KeptDate:
    """What is read back of a date that was kept with a preparation."""

    bound_by: str
    working: Sequence[str]
    rules: str
    use_by: date


def kept_date(data: dict[str, Any]) -> KeptDate:
    """Return what a kept date says."""
    return KeptDate(
        data["bound_by"],
        tuple(data["working"]),
        data["rule_set"]["citation"],
        date.fromisoformat(data["use_by"]),
    )
