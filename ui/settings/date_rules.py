"""The house's rules for how long things last as texts to edit, and back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from formulary.errors import BadText
from formulary.formula.content import Form, Period
from formulary.formula.periods import parse_period
from formulary.formula.stability import Packing, WaterClass
from formulary.house import House
from formulary.messages import message
from formulary.shelf_life.house_rules import CODE, DraftRules, HouseLimit
from formulary.shelf_life.published import published
from formulary.use_by import Counting
from ui.context import Context
from ui.forms import understanding
from ui.forms.fields import FormField, Kind
from ui.forms.record_model import Row
from ui.widgets.quantity_edit import NO_MEANING, Meaning

T = TypeVar("T")
AREA = "ui_settings"
PRESERVED, UNPRESERVED = "yes", "no"
COLDEST, WARMEST = -80, 100


def date_fields(context: Context) -> tuple[FormField, ...]:
    """Return by which rule set dates are given, and what belongs to the house's own rules."""
    return (
        FormField("rule_set", Kind.CHOICE, choices=lambda: _sets(context), hint=True),
        FormField("first_day", Kind.CHOICE, choices=lambda: _countings(context)),
        FormField("own_ceiling", understand=understanding.period, hint=True),
        FormField("own_counting", Kind.CHOICE, choices=lambda: _countings(context)),
    )


def rule_columns(context: Context) -> tuple[FormField, ...]:
    """Return the columns of the house's own rules; what is left open isn't asked."""
    text = context.text
    any_ = (text(f"{AREA}.any"), "")
    waters = [(text(f"formula.water.{each.name.lower()}"), each.value) for each in WaterClass]
    forms = [(text(f"formula.form.{each.name.lower()}"), each.value) for each in Form]
    packings = [(text(f"formula.packing.{each.name.lower()}"), each.value) for each in Packing]
    kept = [(text(f"{AREA}.preserved.{each}"), each) for each in (PRESERVED, UNPRESERVED)]
    return (
        FormField("name", required=True),
        FormField("period", understand=understanding.period, required=True),
        FormField("form", Kind.CHOICE, choices=lambda: [any_, *forms]),
        FormField("water", Kind.CHOICE, choices=lambda: [any_, *waters]),
        FormField("preserved", Kind.CHOICE, choices=lambda: [any_, *kept]),
        FormField("packing", Kind.CHOICE, choices=lambda: [any_, *packings]),
        FormField("kept_at_most", understand=_degrees),
        FormField("source", required=True),
    )


def date_texts(house: House) -> dict[str, str]:
    """Return the fields as texts."""
    own = house.house_rules.rules if house.house_rules else DraftRules(())
    return {
        "rule_set": house.rule_set,
        "first_day": house.first_day.value if house.first_day else "",
        "own_ceiling": _period_text(own.ceiling),
        "own_counting": own.counting.value if own.counting else "",
    }


def rule_rows(house: House) -> list[Row]:
    """Return the house's own rules as rows."""
    return [_row(each) for each in house.house_rules.rules.limits] if house.house_rules else []


def draft_rules(
    texts: Mapping[str, str], limits: tuple[HouseLimit, ...], before: House
) -> DraftRules | None:
    """Return the rules that the texts say, None where they are what is signed already."""
    ceiling = texts["own_ceiling"].strip()
    draft = DraftRules(limits, parse_period(ceiling) if ceiling else None, _counting(texts))
    signed = before.house_rules.rules if before.house_rules else DraftRules(())
    return None if draft == signed else draft


def limit_of(row: Row) -> HouseLimit:
    """Return one rule. Raises :class:`formulary.errors.BadText`."""
    return HouseLimit(
        name=row["name"].strip(),
        period=parse_period(row["period"]),
        source=row["source"].strip(),
        form=_chosen(row.get("form", ""), Form),
        water=_chosen(row.get("water", ""), WaterClass),
        preserved=row["preserved"] == PRESERVED if row.get("preserved") else None,
        kept_at_most=_whole(row.get("kept_at_most", "")),
        packing=_chosen(row.get("packing", ""), Packing),
    )


def first_day(texts: Mapping[str, str]) -> Counting | None:
    """Return how days are counted where a set doesn't say."""
    return Counting(texts["first_day"]) if texts["first_day"] else None


def _counting(texts: Mapping[str, str]) -> Counting | None:
    return Counting(texts["own_counting"]) if texts["own_counting"] else None


def _chosen(value: str, kind: Callable[[str], T]) -> T | None:
    return kind(value) if value else None


def _row(own: HouseLimit) -> Row:
    kept = {None: "", True: PRESERVED, False: UNPRESERVED}[own.preserved]
    return {
        "name": own.name,
        "period": _period_text(own.period),
        "form": own.form.value if own.form else "",
        "water": own.water.value if own.water else "",
        "preserved": kept,
        "packing": own.packing.value if own.packing else "",
        "kept_at_most": "" if own.kept_at_most is None else str(own.kept_at_most),
        "source": own.source,
    }


def _period_text(period: Period | None) -> str:
    return "" if period is None else f"{period.number} {period.span.value}"


def _whole(text: str) -> int | None:
    typed = text.strip().replace("\N{MINUS SIGN}", "-")
    if not typed:
        return None
    if not typed.removeprefix("-").isdecimal() or not COLDEST <= int(typed) <= WARMEST:
        raise BadText(message(f"{AREA}.bad_degrees", typed=text), field="kept_at_most")
    return int(typed)


def _degrees(text: str) -> Meaning:
    _whole(text)
    return NO_MEANING


def _sets(context: Context) -> list[tuple[str, str]]:
    own = (context.text("shelf_life.house_title"), CODE)
    return [*((each.title, each.code) for each in published()), own]


def _countings(context: Context) -> list[tuple[str, str]]:
    words = [(context.text(f"shelf_life.counting.{c.name.lower()}"), c.value) for c in Counting]
    return [(context.text(f"{AREA}.earlier"), ""), *words]
