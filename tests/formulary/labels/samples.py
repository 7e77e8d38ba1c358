"""Invented label contents of growing length, and what tests ask of a page."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction
from itertools import combinations

from formulary.formula.content import Period, Span, Storage
from formulary.labels.content import LabelContent, Stamp, jar_of
from formulary.labels.page import BarRun, Field, GlyphRun, Item, MatrixRun, Page, Rule
from formulary.quantity.amount import Amount

SHELF = LabelContent(
    name="Salicylic acid ointment",
    strength="5 % w/w",
    lot="K26-00042",
    use_by=date(2026, 11, 16),
    made_on=date(2026, 8, 18),
    quantity=Amount(Fraction(60), "g"),
    storage=Storage(highest=25),
    house="Rowan Street Pharmacy",
    address=("12 Rowan Street", "Northwick"),
    telephone="01632 960 113",
)
BRIEF = replace(
    SHELF,
    directions="Apply thinly once a day.",
    patient="Anna Example",
    warnings=("external_use",),
)
USUAL = replace(
    SHELF,
    directions="Apply thinly to the thickened skin once a day, in the evening.",
    patient="Anna Example",
    prescriber="Dr B. Sample",
    warnings=("external_use", "keep_out_of_reach_of_children"),
    containers=3,
    after_opening=Period(3, Span.MONTHS),
)
FULL = replace(
    USUAL,
    directions="Apply a thin layer to the arms and legs in the morning and in the evening.",
    storage=Storage(15, 25, do_not_freeze=True, protect_from_light=True),
    warnings=(
        "external_use",
        "avoid_eyes",
        "emollient_fire",
        "contains_wool_fat",
        "keep_out_of_reach_of_children",
    ),
    containers=12,
    container=11,
    extra=("Made in our pharmacy for you.",),
)
GERMAN = replace(
    USUAL,
    name="Salicylsäuresalbe",
    strength="5 % m/m",
    quantity=Amount(Fraction(25, 2), "g"),
    directions="Abends dünn auf die verdickte Haut auftragen.",
    patient="Jürgen Müßig",
    house="Apotheke am Ebereschenweg",
    language="de",
    decimal_sign=",",
)
SAMPLE = replace(BRIEF, patient="", stamp=Stamp.SAMPLE)
TRIAL = replace(GERMAN, stamp=Stamp.TRIAL)

CONTENTS = {
    "shelf": SHELF,
    "brief": BRIEF,
    "usual": USUAL,
    "full": FULL,
    "german": GERMAN,
    "sample": SAMPLE,
    "trial": TRIAL,
}


def glyph_runs(page: Page) -> list[GlyphRun]:
    return [item for item in page.items if isinstance(item, GlyphRun)]


def code(page: Page) -> BarRun:
    (found,) = [item for item in page.items if isinstance(item, BarRun)]
    return found


def square(page: Page) -> MatrixRun:
    (found,) = [item for item in page.items if isinstance(item, MatrixRun)]
    return found


def scanned(page: Page, content: LabelContent) -> list[tuple[str, str]]:
    """Return what a scanner must find: the jar's code, and the lot's where there are bars."""
    bars = [(content.lot, "]C0") for item in page.items if isinstance(item, BarRun)]
    return [*bars, (jar_of(content).text, "]d2" if content.gtin else "]d1")]


def rules(page: Page) -> list[Rule]:
    return [item for item in page.items if isinstance(item, Rule)]


def collisions(page: Page) -> list[tuple[Item, Item]]:
    """Return each pair of things that lie on one another, but for white text on its band."""
    return [
        (one, other)
        for one, other in combinations(page.items, 2)
        if one.place.overlaps(other.place) and not (one.field is other.field is Field.STAMP)
    ]
