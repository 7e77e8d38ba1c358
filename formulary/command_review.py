"""The command that reviews a formula: its findings as data and as lines."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from formulary import command_texts
from formulary.catalogue import Catalogue
from formulary.command_desk import content_of, current
from formulary.desk import Desk
from formulary.exchange.formula_text import read_formula, text_of
from formulary.finding import Finding
from formulary.messages import message
from formulary.review.case import Case
from formulary.review.house_rules import is_of_house
from formulary.review.overriding import Overriding
from formulary.review.registry import review
from formulary.verbs.review_formula import Reviewed, basis_of, review_version


def asked(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[dict[str, Any], list[str]]:
    """Return what the review finds in a formula of the house, or in a file by what it knows."""
    if not options.file:
        return _answer(review_version(desk, current(desk, options.formula)), catalogue)
    found = basis_of(desk).review(content_of(desk, options))
    return _answer(Reviewed(found, (), ()), catalogue)


def asked_of_file(options: Namespace, catalogue: Catalogue) -> tuple[dict[str, Any], list[str]]:
    """Return what the review finds in a file where there is no house."""
    content = read_formula(text_of(Path(options.file)))
    return _answer(Reviewed(review(Case(content)), (), ()), catalogue)


def _answer(found: Reviewed, catalogue: Catalogue) -> tuple[dict[str, Any], list[str]]:
    data: dict[str, Any] = {"findings": [_data(each, catalogue) for each in found.findings]}
    if found.overridings:
        data["reasons"] = [_reason(each) for each in found.overridings]
    return data, list(_lines(found, catalogue)) or [catalogue.text("command.review.nothing")]


def _data(finding: Finding, catalogue: Catalogue) -> dict[str, str]:
    return {
        "rule": finding.rule,
        "severity": finding.severity.value,
        "sentence": catalogue.text(finding.said),
        "citation": catalogue.text(finding.source) if finding.source else "",
        "field": finding.field,
    }


def _reason(given: Overriding) -> dict[str, str]:
    by = given.signature
    return {
        "rule": given.rule,
        "field": given.field,
        "reason": given.reason,
        "person": by.person,
        "at": by.at.isoformat(),
    }


def _lines(found: Reviewed, catalogue: Catalogue) -> Iterator[str]:
    for each in found.findings:
        answered = each not in found.open and any(one.is_of(each) for one in found.overridings)
        said = command_texts.finding(each, catalogue, answered=answered)
        yield f"{said}  [{_rule(each, catalogue)}, {each.field}]"
        if each.source is not None:
            yield f"    {catalogue.text(each.source)}"
        yield from (f"    {_said(one, catalogue)}" for one in found.overridings if one.is_of(each))


def _rule(finding: Finding, catalogue: Catalogue) -> str:
    """Return a rule's name; one of the house has an id alone."""
    return catalogue.text("command.review.house") if is_of_house(finding) else finding.rule


def _said(given: Overriding, catalogue: Catalogue) -> str:
    by = given.signature
    said = message("review.as_given", reason=given.reason, person=by.person, date=by.at.date())
    return catalogue.text(said)
