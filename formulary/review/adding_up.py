"""Whether it adds up and can be weighed: sums, densities, kinds of per cent, small amounts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.formula.content import Role
from formulary.formula.kinds import Share
from formulary.ingredient import Matter
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.units import Dimension
from formulary.quantity.writing import convenient
from formulary.review.case import Case, Part
from formulary.review.rule import Rule, note, reason, standard, stop
from formulary.scaling.masses import mass_of_line

_SOLID = (Matter.POWDER, Matter.CRYSTALS, Matter.WAX)
OF_SUM = ("sums", "density")
"""The rules that only tell what the sums of the formula found."""

_NEEDS_DENSITY = "scaling.density_missing"


def sums(case: Case) -> Iterator[Finding]:
    """Give what the sums of the formula as written find, at the field to go to."""
    for each in case.sheet.findings:
        if each.said.key != _NEEDS_DENSITY:
            yield replace(each, field=field_of(each.field))


def field_of(place: str) -> str:
    """Return the formula's field for the place that a sum names (``lines.2``)."""
    position = place.partition(".")[2]
    return f"ingredient.{position or 0}.quantity"


def missing_density(case: Case) -> Iterator[Finding]:
    """Find a volume in a mass, or a mass in a whole to be filled by volume, without a density."""
    refused = [each for each in case.sheet.findings if each.said.key == _NEEDS_DENSITY]
    for each in refused:
        named = dict(each.said.parameters)["ingredient"]
        places = [i for i, line in enumerate(case.content.lines) if line.ingredient == named]
        yield replace(each, field=f"ingredient.{places[0] if places else 0}.density")
    if refused:
        return
    for part in case.parts:
        if _lacks_mass(part, case):
            yield note("no_mass", f"ingredient.{part.position}.density", ingredient=part.name)


def _lacks_mass(part: Part, case: Case) -> bool:
    if not case.is_mass or part.amount is None:
        return False
    try:
        mass_of_line(part.line, part.amount)
    except Refusal:
        return True
    return False


def percent_kinds(case: Case) -> Iterator[Finding]:
    """Find per cents whose kind doesn't suit the substance or the whole."""
    for part in case.parts:
        kind = _kind(part)
        if kind == "v/v" and part.record is not None and part.record.matter in _SOLID:
            yield stop("percent_of_solid", part.quantity_field, ingredient=part.name)
        elif kind in ("w/v", "v/v") and case.is_mass:
            yield reason("percent_by_volume", part.quantity_field, ingredient=part.name, kind=kind)
        elif kind == "w/w" and case.whole is not None and not case.is_mass:
            yield reason("percent_by_mass", part.quantity_field, ingredient=part.name)


def _kind(part: Part) -> str:
    quantity = part.line.quantity
    if not isinstance(quantity, Share):
        return ""
    strength = quantity.strength
    if not isinstance(strength, Concentration):
        return strength.kind
    return strength.unit.removeprefix("% ") if strength.unit in units.PERCENTS else ""


def unweighable(case: Case) -> Iterator[Finding]:
    """Find what is under the least weight of every balance, in the smallest batch or in any."""
    if not case.facts.balances or case.whole is None:
        return
    least = min((each.minimum for each in case.facts.balances), key=lambda each: each.to("g"))
    for part in case.parts:
        for size, find in ((_largest(case), reason), (_smallest(case), note)):
            weight = _weight(part, size)
            if weight is not None and Fraction(0) < weight.number and weight < least:
                yield find(
                    "unweighable",
                    part.quantity_field,
                    standard("least_weight"),
                    ingredient=part.name,
                    amount=convenient(weight),
                    size=size,
                    least=least,
                )
                break


def _largest(case: Case) -> Amount:
    return case.content.batch.largest or _written(case)


def _smallest(case: Case) -> Amount:
    return case.content.batch.smallest or _written(case)


def _written(case: Case) -> Amount:
    return case.sheet.total or Amount(Fraction(100), "g")


def _weight(part: Part, size: Amount) -> Amount | None:
    """Return the mass of a part in a batch of that size, where it is weighed at all."""
    if part.share is None or part.amount is None:
        return None
    if units.dimension(part.amount.unit) not in (Dimension.MASS, Dimension.ACTIVITY):
        return None
    if units.dimension(size.unit) not in (Dimension.MASS, Dimension.VOLUME):
        return None
    per = "g" if units.dimension(size.unit) == Dimension.MASS else "mL"
    return Amount(part.share * size.to(per).number / 100, "g")


def assay_basis(case: Case) -> Iterator[Finding]:
    """Find a lot on the shelf whose assay refers to a loss that its record doesn't state."""
    for part in case.parts:
        lots = case.facts.lots.get(part.record.id, ()) if part.record is not None else ()
        for lot in lots:
            analysis = lot.analysis
            if analysis.assay is not None and analysis.loss is None:
                yield note("assay_basis", part.field, ingredient=part.name, lot=lot.number)
        if part.line.role is Role.ACTIVE and lots and all(e.analysis.assay is None for e in lots):
            yield note("no_assay", part.field, ingredient=part.name)


RULES = (
    Rule("sums", sums),
    Rule("density", missing_density),
    Rule("percent_kinds", percent_kinds),
    Rule("unweighable", unweighable),
    Rule("assay_basis", assay_basis),
)
