"""How it is packed and kept, how long, and whether somebody looked at it lately."""

from __future__ import annotations

import re
from collections.abc import Iterator

from formulary.finding import Finding, Severity
from formulary.house import Pack
from formulary.review.case import Case
from formulary.review.rule import Rule, note, reason, standard, stop
from formulary.review.substances import folded
from formulary.scaling.packs import fit
from formulary.use_by import last_day

_PLASTIC = re.compile(
    r"plastic|poly(?:ethylene|propylene|styrene)|\bP(?:E|P|ET|VC)\b", re.IGNORECASE
)
_METAL = re.compile(r"alumin|metal|\btin\b", re.IGNORECASE)
_ASKED_AT = {
    "water": "water.class",
    "preservation": "preservation.state",
    "route": "route",
    "packing": "container.packing",
    "storage": "storage.highest",
}
"""The field at which a fact that a rule set asks for is filled in."""
_DARK = re.compile(r"amber|brown|opaque|alumin|dark", re.IGNORECASE)


def container(case: Case) -> Iterator[Finding]:
    """Find a container that lets light through, or that the preparation attacks."""
    packed = case.content.container
    if packed is None:
        yield note("no_container", "container.text")
        return
    dark = packed.protect_from_light or _DARK.search(packed.text)
    said = f"{packed.text} {packed.material}"
    unsuited = (
        ("light", "light-sensitive", not dark),
        ("plastic", "softens plastic", bool(_PLASTIC.search(said))),
        ("metal", "attacks metal", bool(_METAL.search(said))),
    )
    for key, group, wrong in unsuited:
        for part in case.those(group)[:1] if wrong else ():
            field = "container.protect_from_light" if key == "light" else "container.text"
            yield reason(f"container_{key}", field, standard("groups"), ingredient=part.name)


def container_volume(case: Case) -> Iterator[Finding]:
    """Find a container of the house, named by the formula, that its usual fill doesn't suit.

    The size that a formula is written for is no fill: it is divided, or scaled to the container.
    """
    packed = case.content.container
    if packed is None:
        return
    for pack in case.facts.packs:
        if not _names(packed.text, pack):
            continue
        for each in fit(case.content, pack.content, pack):
            # A plan stops here; a formula may still be put in a larger one, or less of it in.
            loud = Severity.REASON if each.severity is Severity.STOP else each.severity
            yield Finding(loud, each.said, "container.text", standard("fill"))


def _names(text: str, pack: Pack) -> bool:
    return f" {folded(pack.name)} " in f" {folded(text)} "


def colder_part(case: Case) -> Iterator[Finding]:
    """Find an ingredient that its record keeps colder than the preparation is kept."""
    kept = case.content.storage
    for part in case.parts:
        own = part.record.storage if part.record is not None else None
        if kept is None or own is None or own.highest is None:
            continue
        if kept.highest is None or kept.highest > own.highest:
            yield reason(
                "kept_warmer",
                "storage.highest",
                standard("strictest"),
                ingredient=part.name,
                highest=own.highest,
            )


def storage(case: Case) -> Iterator[Finding]:
    """Find that nothing says how it is kept or how long it lasts."""
    if case.content.storage is None:
        yield stop("no_storage", "storage.highest", standard("mfr"))
    if case.content.shelf_life is None:
        yield stop("no_shelf_life", "shelf_life.unopened", standard("mfr"))
    elif not case.content.shelf_life.reference.strip():
        yield note("no_reference", "shelf_life.reference", standard("mfr"))


def date_beyond_rule(case: Case) -> Iterator[Finding]:
    """Find a shelf life that ends after the last day that a rule set allows.

    Of a version in use it is noted: whatever rules the house has chosen since, they date it.
    """
    life, limit, today = case.content.shelf_life, case.facts.limit, case.facts.today
    if life is None or limit is None or today is None:
        return
    ends = last_day(today, life.unopened, limit.counting).result
    if ends > (limit.at_best or limit.until):
        find = note if case.facts.in_use else reason
        yield find(
            "beyond_rule", "shelf_life.unopened", limit.citation, ends=ends, until=limit.until
        )
    elif ends > limit.until and limit.left_open is None:
        yield note("beyond_rule_open", "water.class", limit.citation, ends=ends, until=limit.until)


def undated(case: Case) -> Iterator[Finding]:
    """Give why the rule set allows no such preparation, or only one that is kept colder."""
    yield from case.facts.undated


def left_open(case: Case) -> Iterator[Finding]:
    """Find what a rule asks and the formula doesn't say; the shortest limit counts meanwhile."""
    limit = case.facts.limit
    if limit is not None and limit.left_open is not None:
        asked = limit.left_open
        field = _ASKED_AT[asked.field]
        yield Finding(Severity.NOTE, asked.said, field, asked.source)


def review_overdue(case: Case) -> Iterator[Finding]:
    """Find a version that should have been looked at again."""
    due, today = case.facts.review_due, case.facts.today
    if due is not None and today is not None and due < today:
        yield note("overdue", "title", standard("review"), due=due)


RULES = (
    Rule("container", container),
    Rule("container_volume", container_volume),
    Rule("storage", storage),
    Rule("colder_part", colder_part),
    Rule("date_beyond_rule", date_beyond_rule),
    Rule("undated", undated),
    Rule("left_open", left_open),
    Rule("review_overdue", review_overdue),
)
