"""Formulas to date, as short as a test can say them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from formulary.catalogue import Catalogue
from formulary.formula.content import (
    Container,
    Content,
    Evidence,
    Form,
    Period,
    Route,
    ShelfLife,
    Span,
    Storage,
)
from formulary.formula.stability import Packing, Preservation, Preserved, Water, WaterClass
from formulary.messages import Message
from formulary.shelf_life.asked import Asked
from formulary.shelf_life.dating import Dated, dated
from formulary.shelf_life.published import published_set
from tests.helpers.formulas import a_formula, a_line, active

MADE_ON = date(2026, 3, 10)
NOTHING = Preservation(Preserved.NO)
WORKS = Preservation(Preserved.YES, "sorbate at pH 4")
FIVE_YEARS = ShelfLife(Period(60, Span.MONTHS))
STUDY = Evidence(
    Period(90, Span.DAYS),
    "An invented study, page 7",
    same_composition=True,
    same_container=True,
    same_storage=True,
    preservative_tested=True,
)


def days(number: int) -> Period:
    """Return so many days."""
    return Period(number, Span.DAYS)


def kept(
    form: Form = Form.CREAM,
    water: WaterClass | None = WaterClass.AQUEOUS,
    preservation: Preservation | None = NOTHING,
    *,
    route: Route = Route.SKIN,
    highest: int | None = 8,
    **more: Any,  # noqa: ANN401  of many types
) -> Content:
    """Return a formula that says what a rule asks of it; it lasts long by its own account."""
    lines = (active("Urea", "10 g"), a_line("Cream", "to 100 g"))
    said: dict[str, Any] = {
        "shelf_life": FIVE_YEARS,
        "storage": None if highest is None else Storage(2, highest),
        "water": Water(water, source="composition") if water else None,
        "preservation": preservation,
        "container": Container("Tube", packing=Packing.TUBE),
    }
    return replace(a_formula(*lines, **(said | more)), form=form, route=route)


def asked(
    content: Content,
    made_on: date = MADE_ON,
    rules: str = "usp795-2023",
    *,
    own: ShelfLife | None = None,
    **more: Any,  # noqa: ANN401  of many types
) -> Asked:
    """Return the question how long it lasts by a published set."""
    content = replace(content, shelf_life=own or content.shelf_life)
    return Asked(content, made_on, published_set(rules), **more)


def date_of(content: Content, **more: Any) -> Dated:  # noqa: ANN401  of many types
    """Return how long it lasts."""
    return dated(asked(content, **more))


def found_in(lasts: Dated) -> list[str]:
    """Return which doubts there are, without their area."""
    said = (each.said.key for each in lasts.findings)
    return [key.removeprefix("shelf_life.finding.") for key in said]


def text(said: Message) -> str:
    """Return a message in English with plain spaces."""
    return Catalogue().text(said).replace("\N{NO-BREAK SPACE}", " ")
