"""Every rule of the review, and the review itself."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from formulary.finding import Finding, Severity
from formulary.review import (
    adding_up,
    declaring,
    dosing,
    handling,
    justified,
    keeping,
    labelling,
    method_order,
    mixing,
    naming,
    preserving,
    strong,
    writing,
)
from formulary.review.case import Case
from formulary.review.house_rules import HouseRule, added, is_silenced
from formulary.review.rule import Rule

RULES: tuple[Rule, ...] = (
    *adding_up.RULES,
    *mixing.RULES,
    *preserving.RULES,
    *strong.RULES,
    *declaring.RULES,
    *dosing.RULES,
    *naming.RULES,
    *handling.RULES,
    *method_order.RULES,
    *keeping.RULES,
    *justified.RULES,
    *writing.RULES,
    *labelling.RULES,
)
_ORDER = tuple(Severity)


def review(case: Case, house_rules: Iterable[HouseRule] = ()) -> tuple[Finding, ...]:
    """Return the findings on a formula, the loudest first, each with its rule's name.

    The house's own rules add to them; what they silence is left out, unless it is a stop.
    """
    standing = tuple(each for each in house_rules if each.stands)
    found = [replace(each, rule=rule.name) for rule in RULES for each in rule.look(case)]
    heard = [each for each in found if not is_silenced(each, case, standing)]
    every = (*heard, *added(case, standing))
    return tuple(sorted(every, key=lambda each: _ORDER.index(each.severity)))


def stops(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings that nobody passes."""
    return tuple(each for each in findings if each.severity is Severity.STOP)
