"""What harms who makes it or who uses it: hazardous, not tolerated, flammable, peroxides."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from formulary.finding import Finding
from formulary.messages import Message, message
from formulary.review.case import Case, Part
from formulary.review.rule import Rule, cited, note, reason, standard
from formulary.review.substances import rows_for

_HARMS_FOR_LONG = ("H340", "H341", "H350", "H351", "H360", "H361", "H362")
"""Mutagenic, carcinogenic, toxic to reproduction (GHS)."""
_BURNS_FROM = 20
"""Per cent of a flammable solvent from which a label warns; a house rule of thumb, no source."""


def hazardous(case: Case) -> Iterator[Finding]:
    """Find what needs special handling: by lists of hazardous drugs, GHS, or a lot's statements."""
    for part in case.parts:
        for row in rows_for("hazardous-drugs", part.names)[:1]:
            yield note("hazardous_drug", part.field, cited(row), ingredient=part.name)
        for row in rows_for("ghs-hazards", part.names):
            found = [each for each in row["statements"] if each.startswith(_HARMS_FOR_LONG)]
            if found and _is_enough(part, row.get("from_percent")):
                yield _stated(part, found, cited(row))
        stated = [each for each in _of_lots(part, case) if each.startswith(_HARMS_FOR_LONG)]
        if stated:
            yield _stated(part, stated, standard("lot_record"))


def _stated(part: Part, statements: list[str], source: Message) -> Finding:
    said = ", ".join(statements)
    return note("hazard_stated", part.field, source, ingredient=part.name, statements=said)


def _is_enough(part: Part, least: str | None) -> bool:
    return least is None or part.content * 100 >= Fraction(least)


def _of_lots(part: Part, case: Case) -> list[str]:
    lots = case.facts.lots.get(part.record.id, ()) if part.record is not None else ()
    return sorted({each for lot in lots for each in lot.hazards})


def not_tolerated(case: Case) -> Iterator[Finding]:
    """Find what the label names for those who can't have it, and doesn't."""
    said = case.content.label.warnings
    for part in case.parts:
        for row in rows_for("contained", part.names)[:1]:
            if row["warning"] in said:
                continue
            find = reason if row["severity"] == "reason" else note
            what = message(f"label.warning.{row['warning']}")
            yield find("unsaid", "label.warnings", cited(row), ingredient=part.name, warning=what)


def sensitising(case: Case) -> Iterator[Finding]:
    """Find what many become allergic to, where it is put on the skin."""
    if not case.is_external:
        return
    for part in case.those("sensitiser"):
        yield note("sensitiser", part.field, standard("groups"), ingredient=part.name)


def flammable(case: Case) -> Iterator[Finding]:
    """Find what burns, unless the label warns of it."""
    if "flammable" in case.content.label.warnings:
        return
    for part in case.those("flammable"):
        much = part.share is not None and part.share >= _BURNS_FROM
        find = reason if much else note
        yield find("flammable", "label.warnings", standard("groups"), ingredient=part.name)


def peroxides(case: Case) -> Iterator[Finding]:
    """Find what forms explosive peroxides once it was opened."""
    for part in case.those("peroxide-forming"):
        yield note("peroxides", part.field, standard("groups"), ingredient=part.name)


RULES = (
    Rule("hazardous", hazardous),
    Rule("not_tolerated", not_tolerated),
    Rule("sensitiser", sensitising),
    Rule("flammable", flammable),
    Rule("peroxides", peroxides),
)
