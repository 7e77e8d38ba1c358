"""Whether a strength is plausible: by its usual range, and by what was made last."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from formulary.finding import Finding
from formulary.formula.content import Content, Role, Route
from formulary.formula.kinds import PerUnit
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.review.case import Case, Facts, Part
from formulary.review.rule import Rule, cited, note, reason, standard, stop
from formulary.review.substances import folded, rows_for

TENFOLD, THOUSANDFOLD = (8, 12), (800, 1200)
"""Within these a slip of the decimal sign or of milligram and microgram is likely."""
CANT_BE = 100


def usual_range(case: Case) -> Iterator[Finding]:
    """Hold every active against its usual range; where none is on file, say so."""
    for part in actives(case):
        known = _own_range(part, case.content.route) or _published_range(part, case.content.route)
        if known is None:
            yield note("no_range", part.quantity_field, ingredient=part.name)
            continue
        measured = _measured(part, known)
        if measured is not None:
            yield from _against_range(part, measured, known)


def actives(case: Case) -> tuple[Part, ...]:
    """Return the actives of a formula."""
    return tuple(each for each in case.parts if each.line.role is Role.ACTIVE)


Known = tuple[Concentration | Amount, Concentration | Amount, Message]
"""The two ends of a usual range and its source."""


def _own_range(part: Part, route: Route) -> Known | None:
    own = part.record.usual if part.record is not None else None
    if own is None or (own.route is not None and own.route is not route):
        return None
    return own.lowest, own.highest, message("review.source.house", source=own.source)


def _published_range(part: Part, route: Route) -> Known | None:
    rows = [e for e in rows_for("usual-strengths", part.names) if route.value in e["routes"]]
    if not rows:
        return None
    lowest = min(Fraction(row["lowest"]) for row in rows)
    widest = max(rows, key=lambda row: Fraction(row["highest"]))
    ends = (Concentration(each, "% w/w") for each in (lowest, Fraction(widest["highest"])))
    return (*ends, cited(widest))  # type: ignore[return-value]  # two ends


def _measured(part: Part, known: Known) -> Fraction | None:
    """Return the part's strength in the unit of the range's lower end."""
    unit = known[0].unit
    if isinstance(known[0], Concentration):
        return part.pure if unit in units.PERCENTS else None
    each = part.line.quantity.amount if isinstance(part.line.quantity, PerUnit) else None
    if each is None or units.dimension(each.unit) is not units.dimension(unit):
        return None
    return each.to(unit).number


def _against_range(part: Part, measured: Fraction, known: Known) -> Iterator[Finding]:
    lowest, highest, source = known
    times = factor_outside(measured, lowest.number, highest.number)
    if times <= 1:
        return
    find = stop if times >= CANT_BE else reason if times >= TENFOLD[0] else note
    yield find(
        key_for(times, "range"),
        part.quantity_field,
        source,
        ingredient=part.name,
        strength=type(lowest)(measured, lowest.unit),
        lowest=lowest,
        highest=highest,
        times=round(times),
    )


def factor_outside(measured: Fraction, lowest: Fraction, highest: Fraction) -> Fraction:
    """Return by which factor a figure lies beyond the nearer end of a range; 1 within it."""
    if measured > highest > 0:
        return measured / highest
    if 0 < measured < lowest:
        return lowest / measured
    return Fraction(1)


def key_for(times: Fraction, end: str) -> str:
    """Return the key of a finding by how far off a figure is."""
    for name, (least, most) in (("tenfold", TENFOLD), ("thousandfold", THOUSANDFOLD)):
        if least <= times <= most:
            return f"{name}_{end}"
    return f"outside_{end}"


def last_made(case: Case) -> Iterator[Finding]:
    """Hold every active against what the last preparations of the same formula held."""
    for part in actives(case):
        for made in case.facts.made:
            before = _same_part(part, made.content, case.facts)
            if before is None or not before.share or not part.share:
                continue
            times = factor_outside(part.share, before.share, before.share)
            if times >= TENFOLD[0]:
                find = stop if times >= CANT_BE else reason
                yield find(
                    key_for(times, "last"),
                    part.quantity_field,
                    standard("last_made"),
                    ingredient=part.name,
                    share=part.share,
                    before=before.share,
                    lot=made.lot,
                    times=round(times),
                )
            break


def _same_part(part: Part, content: Content, facts: Facts) -> Part | None:
    others = Case(content, Facts(ingredients=facts.ingredients)).parts
    return next((each for each in others if folded(each.name) == folded(part.name)), None)


RULES = (
    Rule("usual_range", usual_range),
    Rule("last_made", last_made),
)
