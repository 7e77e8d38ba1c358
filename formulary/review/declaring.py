"""What title and label declare, held against what the formula comes to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from formulary.finding import Finding
from formulary.formula.kinds import PerUnit, Share
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.units import Dimension
from formulary.review.case import HUNDRED, Case, Part
from formulary.review.reading import percentages
from formulary.review.rule import Rule, reason, standard, stop
from formulary.review.strong import TENFOLD, actives, factor_outside, key_for
from formulary.review.substances import folded
from formulary.wording.figures import masses, strengths

_AGREES = Fraction(1, 20)
_PURE = Fraction(9, 10)
_PERCENT = "%"


@dataclass(frozen=True, slots=True)
class Figure:
    """A strength as a text has it: in per cent, per mass or volume (mg/g), or of one dose unit."""

    number: Fraction
    unit: str

    @property
    def said(self) -> Message | Concentration | Amount:
        """The strength to be written out."""
        if self.unit == _PERCENT:
            return message("review.percent", number=self.number)
        kind = Concentration if "/" in self.unit else Amount
        return kind(self.number, self.unit)


def declared(case: Case) -> Iterator[Finding]:
    """Find a strength in title or label that nothing has in the formula, each once.

    Of dose units a text may name their size beside the strength: one figure that agrees is enough.
    """
    told: set[Figure] = set()
    for field, text in _declaring(case):
        wrong = [each for each in _figures_in(text, case) if not _is_there(each, text, case)]
        sized = [each for each in wrong if _is_of_a_unit(each)]
        if len(sized) < sum(map(_is_of_a_unit, _figures_in(text, case))):
            wrong = [each for each in wrong if each not in sized]
        for figure in wrong:
            if figure not in told:
                told.add(figure)
                yield from _declared_wrongly(case, field, figure)


def _is_of_a_unit(figure: Figure) -> bool:
    return figure.unit != _PERCENT and "/" not in figure.unit


def _declaring(case: Case) -> Iterator[tuple[str, str]]:
    yield "title", case.content.title
    yield "label.name", case.content.label.name
    yield "label.strength", case.content.label.strength


def _figures_in(text: str, case: Case) -> tuple[Figure, ...]:
    """Return the strengths that a text declares; plain masses declare one of dose units only."""
    found = [Figure(number, _PERCENT) for number in percentages(text)]
    found += [Figure(each.number, each.unit) for each in strengths(text)]
    if case.content.units is not None:
        found += [Figure(each.number, each.unit) for each in masses(text)]
    return tuple(found)


def _is_there(figure: Figure, text: str, case: Case) -> bool:
    """Tell whether something meant comes to a figure, or whether that can't be told."""
    own = [tuple(_own(part, figure.unit, case)) for part in _meant(case, text)]
    unknown = figure.unit != _PERCENT and not all(own)
    if unknown or any(_agrees(figure.number, each) for found in own for each in found):
        return True
    return _is_of_a_unit(figure) and _agrees(figure.number, _unit_mass(figure.unit, case))


def _meant(case: Case, text: str) -> tuple[Part, ...]:
    """Return whose strength a text can declare: actives, and what it names; else anything's."""
    words = f" {folded(text)} "
    named = (
        part
        for part in case.parts
        if any(f" {name.split()[0]} " in words for name in part.names if name)
    )
    found = {each.position: each for each in (*actives(case), *named)}
    return tuple(found.values()) or case.parts


def _declared_wrongly(case: Case, field: str, figure: Figure) -> Iterator[Finding]:
    """Yield the finding; with one active alone, a figure far off can't be right."""
    known = [(each.name, _pure_in(each, figure.unit, case)) for each in actives(case)]
    own = [(name, number) for name, number in known if number]
    if len(own) != 1:
        yield reason("nowhere_declared", field, declared=figure.said)
        return
    name, number = own[0]
    times = factor_outside(figure.number, number, number)
    find = stop if times >= TENFOLD[0] else reason
    said = Figure(number, figure.unit).said
    yield find(key_for(times, "declared"), field, declared=figure.said, ingredient=name, own=said)


def _pure_in(part: Part, unit: str, case: Case) -> Fraction | None:
    """Return a part's strength as pure substance in a figure's unit, None where it isn't known."""
    if unit == _PERCENT:
        return part.pure
    return next(iter(tuple(_own(part, unit, case))[::-1]), None)


def _own(part: Part, unit: str, case: Case) -> Iterator[Fraction]:
    """Yield every figure by which a part's strength may be declared in a unit, pure last."""
    if unit == _PERCENT:
        yield from _percents(part)
    elif "/" in unit:
        yield from _as_written(part, unit)
        yield from _in_the_whole(part, unit, case)
    else:
        yield from _in_a_unit(part, unit)


def _percents(part: Part) -> Iterator[Fraction]:
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
        if percent.unit in units.PERCENTS:
            yield percent.number


def _as_written(part: Part, unit: str) -> Iterator[Fraction]:
    """Yield the strength that a line was written with, where it is one of the same dimensions."""
    quantity = part.line.quantity
    written = quantity.strength if isinstance(quantity, Share) else None
    if not isinstance(written, Concentration) or written.unit in units.PERCENTS:
        return
    asked, own = units.split_concentration(unit), units.split_concentration(written.unit)
    if all(units.dimension(a) is units.dimension(b) for a, b in zip(asked, own, strict=True)):
        yield written.number * units.factor(own[0], asked[0]) / units.factor(own[1], asked[1])


def _in_the_whole(part: Part, unit: str, case: Case) -> Iterator[Fraction]:
    """Yield a part's mass in so much of the whole, through the whole's density where needed."""
    inner, outer = units.split_concentration(unit)
    through = _grams_or_mL(case, units.dimension(outer))
    if units.dimension(inner) is not Dimension.MASS or through is None:
        return
    per = "g" if units.dimension(outer) is Dimension.MASS else "mL"
    for share in filter(None, (part.share, part.pure)):
        grams = share / HUNDRED * through
        yield grams * units.factor(outer, per) / units.factor(inner, "g")


def _grams_or_mL(case: Case, wanted: Dimension) -> Fraction | None:  # noqa: N802
    """Return how much of the whole is 1 g or 1 mL of it, in the unit of its shares."""
    own = Dimension.MASS if case.is_mass else Dimension.VOLUME
    if wanted is own:
        return Fraction(1)
    density = case.content.density
    if density is None or wanted not in (Dimension.MASS, Dimension.VOLUME):
        return None
    return density.g_per_mL if own is Dimension.MASS else 1 / density.g_per_mL


def _in_a_unit(part: Part, unit: str) -> Iterator[Fraction]:
    quantity = part.line.quantity
    each = quantity.amount if isinstance(quantity, PerUnit) else None
    if each is not None and units.dimension(each.unit) is units.dimension(unit):
        yield each.to(unit).number
        yield each.to(unit).number * part.content


def _unit_mass(unit: str, case: Case) -> Fraction:
    """Return what all lines of one dose unit come to, as far as they are written for one."""
    return sum((next(_in_a_unit(each, unit), Fraction(0)) for each in case.parts), Fraction(0))


def _agrees(one: Fraction, other: Fraction) -> bool:
    return abs(one - other) <= _AGREES * max(one, other)


def as_if_pure(case: Case) -> Iterator[Finding]:
    """Find an active's concentrate that is declared as if it were pure, and nowhere by its name."""
    for part in actives(case):
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
    Rule("declared_strength", declared),
    Rule("concentrate_as_pure", as_if_pure),
)
