"""Whether what holds water is preserved, and whether the preservative can do its work."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from typing import Any

from formulary.finding import Finding
from formulary.formula.content import Content, Form, Role
from formulary.review.case import HUNDRED, Case, Facts, Part
from formulary.review.mixing import are_a_pair
from formulary.review.rule import Rule, cited, note, reason, standard
from formulary.review.substances import rows_for
from formulary.use_by import last_day

_DRY = (Form.POWDER, Form.POWDERS, Form.CAPSULES, Form.SUPPOSITORIES, Form.PESSARIES)
_ANY_DAY = date(2001, 1, 1)
UNPRESERVED_DAYS = 14
"""USP <795> (2023) for aqueous preparations without preservative, in a refrigerator."""
COLD = 8
ENDS_AT = 14
Row = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Preserved:
    """A preservative: its share of the whole as pure substance, its row, the field to go to."""

    name: str
    share: Fraction | None
    row: Row
    field: str


def absent(case: Case) -> Iterator[Finding]:
    """Find water without a preservative; what is kept cold and not for long is only noted."""
    if not case.is_watery or case.content.form in _DRY or preservatives(case):
        return
    bought = [each for each in case.those("watery base") if not case.facts.made_of(each)]
    if bought:
        yield note("base_unknown", bought[0].field, ingredient=bought[0].name)
    elif _is_short_and_cold(case.content):
        yield note("unpreserved_short", "shelf_life.unopened", standard("unpreserved"))
    else:
        yield reason("unpreserved", "shelf_life.unopened", standard("unpreserved"))


def _is_short_and_cold(content: Content) -> bool:
    life, storage = content.shelf_life, content.storage
    if life is None or storage is None or storage.highest is None:
        return False
    days = (last_day(_ANY_DAY, life.unopened).result - _ANY_DAY).days + 1
    return storage.highest <= COLD and days <= UNPRESERVED_DAYS


def diluted(case: Case) -> Iterator[Finding]:
    """Find a preservative in a strength below that from which it works."""
    for each in preservatives(case):
        least = Fraction(each.row["least"])
        if each.share is not None and each.share < least:
            yield reason(
                "preservative_diluted",
                each.field,
                cited(each.row),
                ingredient=each.name,
                share=each.share,
                least=least,
            )


def inactivated(case: Case) -> Iterator[Finding]:
    """Find a preservative beside what takes it away, or at a pH at which it doesn't work."""
    for each in preservatives(case):
        yield from _taken_away(case, each)
        yield from _at_wrong_ph(case, each)


def _taken_away(case: Case, found: Preserved) -> Iterator[Finding]:
    """Yield what takes the preservative away, but for what is told as a pair already."""
    own = [each for each in case.parts if each.name == found.name]
    for group in found.row.get("inactivated_by", ()):
        for other in case.those(group)[:1]:
            if any(are_a_pair(each, other) for each in own):
                continue
            yield reason(
                "preservative_taken",
                found.field,
                cited(found.row),
                ingredient=found.name,
                other=other.name,
            )


def _at_wrong_ph(case: Case, found: Preserved) -> Iterator[Finding]:
    if case.ph is None:
        return
    lowest, highest = case.ph
    least = Fraction(found.row.get("lowest_ph", 0))
    most = Fraction(found.row.get("highest_ph", ENDS_AT))
    if least <= lowest and highest <= most:
        return
    find = reason if lowest > most or highest < least else note
    yield find(
        "preservative_ph" if least else "preservative_ph_below",
        found.field,
        cited(found.row),
        ingredient=found.name,
        least=least,
        most=most,
        lowest=lowest,
        highest=highest,
    )


def preservatives(case: Case) -> tuple[Preserved, ...]:
    """Return what preserves, that of the house's own bases too; the same substance adds up."""
    found: dict[str, Preserved] = {}
    for part in case.parts:
        for each in (*_of_part(part), *_of_base(case.facts, part)):
            same = found.get(each.row["substance"])
            found[each.row["substance"]] = _added(same, each) if same is not None else each
    return tuple(found.values())


def _added(one: Preserved, other: Preserved) -> Preserved:
    if one.share is None or other.share is None:
        return replace(one, share=None)
    return replace(one, share=one.share + other.share)


def _of_part(part: Part) -> Iterator[Preserved]:
    """Yield a part that preserves; what does so only in a high strength, from that one on."""
    preserves = part.line.role is Role.PRESERVATIVE
    rows = rows_for("preservatives", part.names)
    for row in rows:
        enough = part.pure is not None and part.pure >= Fraction(row["least"])
        if enough or preserves or not row.get("otherwise"):
            yield Preserved(part.name, part.pure, row, part.quantity_field)
    if preserves and not rows:
        yield Preserved(part.name, None, {"substance": part.name, "least": 0}, part.quantity_field)


def _of_base(facts: Facts, part: Part) -> Iterator[Preserved]:
    """Yield what preserves a base that is made here, thinned as it is used."""
    content = facts.made_of(part)
    if content is None:
        return
    for inner in Case(content, Facts(ingredients=facts.ingredients)).parts:
        for each in _of_part(inner):
            yield replace(each, share=_thinned(each.share, part.share), field=part.quantity_field)


def _thinned(share: Fraction | None, used: Fraction | None) -> Fraction | None:
    return None if share is None or used is None else share * used / HUNDRED


RULES = (
    Rule("preservative_absent", absent),
    Rule("preservative_diluted", diluted),
    Rule("preservative_inactivated", inactivated),
)
