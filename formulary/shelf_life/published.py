"""The published rule sets that come with the program: one file each, read when first asked for."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import Any

from formulary.errors import NotFound
from formulary.formula.content import Form, Route
from formulary.formula.periods import parse_period
from formulary.formula.stability import Packing, WaterClass
from formulary.messages import message
from formulary.resources import resource_path
from formulary.shelf_life.rules import Limit, RuleSet
from formulary.use_by import Counting


@cache
def published() -> tuple[RuleSet, ...]:
    """Return every published set, by its code."""
    return tuple(_read(path.stem) for path in sorted(resource_path("rules").glob("*.toml")))


def published_set(code: str) -> RuleSet:
    """Return the set with that code. Raises :class:`formulary.errors.NotFound`."""
    for each in published():
        if each.code == code:
            return each
    raise NotFound(message("shelf_life.no_such_set", code=code))


def _read(name: str) -> RuleSet:
    path = resource_path("rules", f"{name}.toml")
    whole = tomllib.loads(path.read_text(encoding="utf-8"))
    ceiling, counting = whole.get("ceiling"), whole.get("counting")
    return RuleSet(
        code=name,
        title=whole["title"],
        citation=whole["citation"],
        limits=tuple(map(_limit, whole["limit"])),
        valid_from=whole.get("valid_from"),
        valid_to=whole.get("valid_to"),
        counting=Counting(counting) if counting else None,
        counting_source=whole["counting_source"],
        ceiling=parse_period(ceiling) if ceiling else None,
        ceiling_source=whole["ceiling_source"],
        aqueous_from=Fraction(whole["aqueous_from"]),
    )


def _limit(row: Mapping[str, Any]) -> Limit:
    water = row.get("water")
    return Limit(
        name=row["name"],
        period=parse_period(row["period"]),
        water=WaterClass(water) if water else None,
        preserved=row.get("preserved"),
        with_ethanol=row.get("with_ethanol"),
        forms=tuple(map(Form, row.get("forms", ()))),
        routes=tuple(map(Route, row.get("routes", ()))),
        packings=tuple(map(Packing, row.get("packings", ()))),
        kept_at_most=row.get("kept_at_most"),
        kept_over=row.get("kept_over"),
        unstable=row.get("unstable", False),
        source=row["source"],
        seen=row["seen"],
    )
