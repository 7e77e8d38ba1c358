"""Formulas as short as a rule needs them, and what a review finds in them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from formulary.finding import Finding, Severity
from formulary.formula.completing import completed
from formulary.formula.content import (
    Container,
    Content,
    Form,
    LabelText,
    Line,
    Period,
    QualityTest,
    Role,
    Route,
    ShelfLife,
    Span,
    Storage,
)
from formulary.ingredient import Ingredient, Matter
from formulary.review.case import NOTHING_KNOWN, Case, Facts
from formulary.review.registry import review
from tests.helpers.formulas import a_formula, a_line, density

STOP, REASON, NOTE = Severity.STOP, Severity.REASON, Severity.NOTE
KEPT: dict[str, Any] = {
    "storage": Storage(15, 25),
    "shelf_life": ShelfLife(Period(35, Span.DAYS), reference="invented for this test"),
    "container": Container("Glass jar", protect_from_light=True),
}
FAT = a_line("White soft paraffin", "to 100 g", Role.BASE)
WATER = a_line("Purified water", "to 100 g", Role.VEHICLE, density=density("1"))


def a_cream(
    *lines: Line,
    form: Form = Form.CREAM,
    route: Route = Route.SKIN,
    **more: Any,  # noqa: ANN401  of many types
) -> Content:
    """Return a preparation of these lines in which nothing else is wanting."""
    return replace(a_formula(*lines, **(KEPT | more)), form=form, route=route)


def a_solution(*lines: Line, **more: Any) -> Content:  # noqa: ANN401  of many types
    """Return a solution made up with water to 100 mL."""
    water = a_line("Purified water", "to 100 mL", Role.VEHICLE, density=density("1"))
    return a_cream(*lines, water, form=Form.SOLUTION, **more)


def with_ph(limits: str) -> dict[str, Any]:
    """Return the test of a pH with these limits."""
    return {"tests": (QualityTest("pH", limits),)}


def named(title: str, strength: str = "") -> dict[str, Any]:
    """Return a label's name and strength."""
    return {"label": LabelText(name=title, strength=strength)}


def an_ingredient(name: str, matter: Matter = Matter.POWDER, **more: Any) -> Ingredient:  # noqa: ANN401  of many types
    """Return an ingredient's record."""
    return Ingredient(f"i-{name}", name, matter=matter, **more)


def found(content: Content, rule: str, facts: Facts = NOTHING_KNOWN) -> list[Finding]:
    """Return what one rule finds in a formula."""
    whole = completed(content, facts.ingredients)
    return [each for each in review(Case(whole, facts)) if each.rule == rule]


def loudness(content: Content, rule: str, facts: Facts = NOTHING_KNOWN) -> list[Severity]:
    """Return how loud the findings of one rule are."""
    return [each.severity for each in found(content, rule, facts)]


def fields(content: Content, rule: str, facts: Facts = NOTHING_KNOWN) -> list[str]:
    """Return the fields that the findings of one rule lead to."""
    return [each.field for each in found(content, rule, facts)]
