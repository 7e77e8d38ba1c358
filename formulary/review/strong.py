"""Whether a strength is plausible: by its usual range, by what was made last, as declared."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from formulary.finding import Finding
from formulary.formula.content import Content, Role, Route
from formulary.formula.kinds import PerUnit, Share
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.review.case import Case, Facts, Part
from formulary.review.reading import percentages
from formulary.review.rule import Rule, cited, note, reason, standard, stop
from formulary.review.substances import folded, rows_for

TENFOLD, THOUSANDFOLD = (8, 12), (800, 1200)
"""Within these a slip of the decimal sign or of milligram and microgram is likely."""
CANT_BE = 100
_AGREES = Fraction(1, 20)
_PURE = Fraction(9, 10)


def usual_range(case: Case) -> Iterator[Finding]:
    """Hold every active against its usual range; where none is on file, say so."""
    for part in _actives(case):
        known = _own_range(part, case.content.route) or _published_range(part, case.content.route)
        if known is None:
            yield note("no_range", part.quantity_field, ingredient=part.name)
            continue
        measured = _measured(part, known)
        if measured is not None:
            yield from _against_range(part, measured, known)


def _actives(case: Case) -> tuple[Part, ...]:
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
        _key(times, "range"),
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


def _key(times: Fraction, end: str) -> str:
    for name, (least, most) in (("tenfold", TENFOLD), ("thousandfold", THOUSANDFOLD)):
        if least <= times <= most:
            return f"{name}_{end}"
    return f"outside_{end}"


def last_made(case: Case) -> Iterator[Finding]:
    """Hold every active against what the last preparations of the same formula held."""
    for part in _actives(case):
        for made in case.facts.made:
            before = _same_part(part, made.content, case.facts)
            if before is None or not before.share or not part.share:
                continue
            times = factor_outside(part.share, before.share, before.share)
            if times >= TENFOLD[0]:
                find = stop if times >= CANT_BE else reason
                yield find(
                    _key(times, "last"),
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


def declared(case: Case) -> Iterator[Finding]:
    """Find a per cent in title or label that no ingredient has in the formula, each once."""
    told: set[Fraction] = set()
    for field, text in _declaring(case):
        for number in percentages(text):
            if number in told:
                continue
            told.add(number)
            if not any(_agrees(number, each) for part in case.parts for each in _figures(part)):
                yield from _declared_wrongly(case, field, number)


def _declaring(case: Case) -> Iterator[tuple[str, str]]:
    yield "title", case.content.title
    yield "label.name", case.content.label.name
    yield "label.strength", case.content.label.strength


def _declared_wrongly(case: Case, field: str, number: Fraction) -> Iterator[Finding]:
    """Yield the finding; with one active alone, a figure far off can't be right."""
    shares = [(each.name, share) for each in _actives(case) if (share := each.pure)]
    if len(shares) != 1:
        yield reason("declared_nowhere", field, number=number)
        return
    name, share = shares[0]
    times = factor_outside(number, share, share)
    find = stop if times >= TENFOLD[0] else reason
    yield find(_key(times, "declared"), field, number=number, ingredient=name, share=share)


def _figures(part: Part) -> Iterator[Fraction]:
    """Yield every figure by which a part's strength may be declared."""
    yield from _as_it_is(part)
    yield from percentages(part.name)
    if part.pure is not None:
        yield part.pure


def _as_it_is(part: Part) -> Iterator[Fraction]:
    """Yield a part's per cents as it goes in, pure or not: by mass, by volume, as written."""
    if part.share is not None:
        yield part.share
        if part.line.density is not None:
            yield part.share / part.line.density.g_per_mL
    quantity = part.line.quantity
    if isinstance(quantity, Share):
        strength = quantity.strength
        percent = strength if isinstance(strength, Concentration) else strength.as_percent()
        yield percent.number


def _agrees(one: Fraction, other: Fraction) -> bool:
    return abs(one - other) <= _AGREES * max(one, other)


def as_if_pure(case: Case) -> Iterator[Finding]:
    """Find an active's concentrate that is declared as if it were pure, and nowhere by its name."""
    for part in _actives(case):
        if part.share is None or part.pure is None or part.content >= _PURE:
            continue
        texts = tuple(_declaring(case))
        if any(folded(part.name) in folded(text) for _, text in texts):
            continue
        for field, text in texts:
            figures = percentages(text)
            as_pure = any(_agrees(e, own) for e in figures for own in _as_it_is(part))
            truly = any(_agrees(each, part.pure) for each in figures)
            if as_pure and not truly:
                yield reason(
                    "as_if_pure",
                    field,
                    standard("concentrates"),
                    ingredient=part.name,
                    share=part.share,
                    pure=part.pure,
                )
                break


RULES = (
    Rule("usual_range", usual_range),
    Rule("last_made", last_made),
    Rule("declared_strength", declared),
    Rule("concentrate_as_pure", as_if_pure),
)
