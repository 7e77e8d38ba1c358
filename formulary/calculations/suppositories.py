"""Suppositories and pessaries: the base that a mould still takes beside what is in it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, TypeAlias

from formulary.calculating.choosing import given_one, numbered
from formulary.calculating.describing import Calculation, Input, Kind, speaker, written_sum
from formulary.calculating.lists import (
    names_in_table,
    only_row,
    require_equal_lengths,
    row_findings,
)
from formulary.calculating.outcome import Number, Outcome, Result, caution, note
from formulary.calculating.strengths import ANY, plain
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.messages import Message
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.quantity.writing import convenient
from formulary.working import Working

AREA = "suppositories"
TEXTS = {
    "input": {
        "ordered": "Units ordered",
        "spare": "Spare units",
        "excess": "Excess of the whole mass for losses",
        "mould": "One unit of plain base, from the calibration of the mould",
        "doses": "Active in one unit (mass, or % w/w of the unit)",
        "displacement_values": "Displacement values (g of active that displace 1 g of base)",
        "displacement_factors": "Displacement factors (g of base displaced by 1 g of active)",
        "drug_densities": "Densities of the actives",
        "base_density": "Density of the base",
        "substances": "Actives as named in the table",
        "base": "Base for which the displacement holds",
        "base_ratio": "Mass of the base in use that fills what 1 g of the calibrated base fills",
    },
    "result": {
        "units": "Units weighed for",
        "drug": "Active to weigh for all",
        "base_displaced": "Base displaced in all",
        "base": "Base to weigh for all",
        "total": "Mass to melt and pour",
        "unit_weight": "One unit will weigh",
        "spare_units": "Of these spare",
        "spare_mass": "Mass of the spare units",
        "displacement_factor": "Base displaced by 1 g",
    },
    "suppositories": {
        "title": "Suppositories and pessaries: active and base",
        "words": "suppository, pessary, pessaries, displacement value, mould, mold, cocoa "
        "butter, hard fat, macrogol, theobroma oil, bougie",
        "about": "How much active and base to weigh for so many units and spare ones, from the "
        "calibration of the mould and what the actives displace.",
        "source": "M = N x (E − sum of f x A): N units, E g of plain base in one, A g of active "
        "that displaces f g of base for each g. A displacement value is 1 / f.",
        "limits": "For one mould, one base and one batch of the active; each displacement holds "
        "for the base it was found with.",
        "caution": "Displacement values and displacement factors are opposite figures. Spare "
        "units are counted in all weights and never handed over.",
    },
    "step": {
        "units": "{ordered} ordered + {spare} spare = {units} units",
        "excess": "({ordered} ordered + {spare} spare) x (1 + {excess} %) = {units} units",
        "heavier": "{mould} x {ratio} = {heavier} of the base in use in one unit",
        "factor_heavier": "Active {place}: {factor} x {ratio} = {heavier} g of the base in use "
        "displaced by 1 g",
        "as_base": "Active {place}: taken to displace its own mass of base",
        "from_value": "Active {place}: 1 / {value} = {factor} g of base displaced by 1 g",
        "from_density": "Active {place}: {base_density} / {density} = {factor} g of base displaced "
        "by 1 g",
        "from_factor": "Active {place}: {factor} g of base displaced by 1 g",
        "unit": "One unit: ({mould} + sum of mass x (1 − f) = {numerator}) / (1 − sum of share x "
        "(1 − f) = {denominator}) = {unit}",
        "dose": "Active {place}: {percent} % of {unit} = {dose} in one unit",
        "drug": "Active {place}: {units} x {dose} = {drug}",
        "displaced": "Active {place}: {drug} x {factor} = {displaced} of base displaced",
        "displaced_in_all": "Displaced in all: {parts} = {displaced}",
        "base": "Base: {units} x {mould} − {displaced} = {base}",
        "pour": "To melt and pour: {parts} = {total}",
    },
    "one_way": "Give the displacement in one way: values, factors, densities, or names from the "
    "table.",
    "as_base": "No displacement was given: each active is taken to displace its own mass of base. "
    "The total is right for units of that mass; the mould may hold more or less.",
    "no_actives": "A displacement belongs to an active: give the actives too.",
    "base_density_needed": "With densities of the actives, give that of the base too.",
    "base_needed": "With names from the table, say for which base.",
    "not_by_mass": "The strength of a suppository is a mass or a per cent by mass (w/w).",
    "no_room": "The actives fill the mould: no base would be left. Take a larger mould.",
    "over_whole": "The per cents of the actives must add up to less than 100.",
    "no_spare": "No spare unit is counted. What sticks to the dish and the mould will be missing.",
    "base_unsaid": "Which base these displacements hold for isn’t said.",
    "for_base": "The displacements are taken for {base}.",
}
say = speaker(AREA)
WHOLE = 100
Factors: TypeAlias = list[tuple[Fraction, Message]]
"""For each active the g of base that 1 g of it displaces, and the step that says so."""


@dataclass(frozen=True, slots=True)
class Active:
    """What one unit holds of an active, and the g of base that 1 g of it displaces."""

    dose: Amount
    factor: Fraction


def base_needed(units: Fraction | int, mould: Amount, actives: Sequence[Active]) -> Working[Amount]:
    """Return the base for so many units: M = N x (E − sum of f x A).

    A part of a unit is what an excess for losses adds to whole ones.
    Raises Refusal where the actives leave no room for base.
    """
    displaced = [displaced_by(active, units) for active in actives]
    in_all = sum(displaced, Amount(Fraction(0), "g"))
    base = mould.to("g") * units - in_all
    if base.number <= 0:
        raise Refusal(say("no_room"))
    steps = [
        step
        for place, (active, gone) in enumerate(zip(actives, displaced, strict=True), 1)
        for step in _drug_steps(place, active, units, gone)
    ]
    if len(displaced) > 1:
        parts = written_sum(displaced)
        steps.append(say("step.displaced_in_all", parts=parts, displaced=in_all))
    steps.append(say("step.base", units=units, mould=mould, displaced=in_all, base=base))
    return Working(base, tuple(steps))


def displaced_by(active: Active, units: Fraction | int) -> Amount:
    """Return the base that the active displaces in so many units."""
    return active.dose.to("g") * (active.factor * units)


def _drug_steps(
    place: int, active: Active, units: Fraction | int, gone: Amount
) -> tuple[Message, ...]:
    drug = convenient(active.dose * units)
    said = {"place": place, "drug": drug}
    return (
        say("step.drug", units=units, dose=active.dose, **said),
        say("step.displaced", factor=active.factor, displaced=gone, **said),
    )


def actives_in_unit(
    mould: Amount, doses: Sequence[Amount | Fraction], factors: Sequence[Fraction]
) -> Working[tuple[Active, ...]]:
    """Return every active as a mass in one unit; a bare number is a part (0 to 1) of its mass.

    Raises Refusal where the parts come to the whole.
    """
    pairs = tuple(zip(doses, factors, strict=True))
    parts = [(dose, factor) for dose, factor in pairs if isinstance(dose, Fraction)]
    if not parts:
        return Working(tuple(Active(d, f) for d, f in pairs if isinstance(d, Amount)), ())
    if sum((part for part, _ in parts), Fraction(0)) >= 1:
        raise Refusal(say("over_whole"))
    fixed = sum(
        (d.to("g").number * (1 - f) for d, f in pairs if isinstance(d, Amount)), Fraction(0)
    )
    top = mould.to("g").number + fixed
    bottom = 1 - sum((part * (1 - factor) for part, factor in parts), Fraction(0))
    if top <= 0 or bottom <= 0:
        raise Refusal(say("no_room"))
    unit = Amount(top / bottom, "g")
    first = say("step.unit", mould=mould, numerator=top, denominator=bottom, unit=unit)
    actives = tuple(Active(d if isinstance(d, Amount) else unit * d, f) for d, f in pairs)
    shares = (
        say("step.dose", place=place, percent=dose * WHOLE, unit=unit, dose=active.dose)
        for place, (dose, active) in enumerate(zip(doses, actives, strict=True), 1)
        if isinstance(dose, Fraction)
    )
    return Working(actives, (first, *shares))


def factor_from_value(value: Fraction) -> Fraction:
    """Return the g of base displaced by 1 g from the g that displace 1 g; and back."""
    return 1 / value


def make(given: Given) -> Outcome:
    """Return active, base and mass to pour for the units ordered and the spare ones."""
    units, mould = _units(given), _mould(given)
    factors = _factors(given)
    actives = actives_in_unit(mould.result, _doses(given), factors.result)
    base = base_needed(units.result, mould.result, actives.result)
    pour = _to_pour(units.result, actives.result, base.result)
    steps = (*units.steps, *mould.steps, *factors.steps, *actives.steps, *base.steps, *pour)
    results = _results(units.result, given.count("spare"), actives.result, base.result)
    return Outcome(results, steps, _findings(given))


def _to_pour(units: Fraction, actives: tuple[Active, ...], base: Amount) -> tuple[Message, ...]:
    if not actives:
        return ()
    parts = (*(active.dose.to("g") * units for active in actives), base)
    return (say("step.pour", parts=written_sum(parts), total=sum(parts[1:], parts[0])),)


def _units(given: Given) -> Working[Fraction]:
    """Return for how many units is weighed: those ordered, the spare ones and the excess."""
    ordered, spare, excess = (given.number(name) for name in ("ordered", "spare", "excess"))
    units = (ordered + spare) * (1 + excess / WHOLE)
    said = {"ordered": ordered, "spare": spare, "units": units}
    step = say("step.excess", excess=excess, **said) if excess else say("step.units", **said)
    return Working(units, (step,))


def _mould(given: Given) -> Working[Amount]:
    """Return what one unit of the base in use weighs."""
    mould = given.amount("mould").to("g")
    if not given.has("base_ratio"):
        return Working(mould, ())
    ratio = given.number("base_ratio")
    heavier = mould * ratio
    return Working(heavier, (say("step.heavier", mould=mould, ratio=ratio, heavier=heavier),))


def _doses(given: Given) -> list[Amount | Fraction]:
    return [_dose(each) for each in given.values.get("doses", ())]


def _dose(typed: Amount | Concentration | OneIn | Fraction) -> Amount | Fraction:
    if isinstance(typed, Amount):
        return typed
    strength = plain(typed)
    if strength.kind not in ("w/w", ANY):
        raise Refusal(say("not_by_mass"))
    return strength.per_hundred / WHOLE


def _results(
    units: Fraction, spare: int, actives: tuple[Active, ...], base: Amount
) -> tuple[Result, ...]:
    drugs = [convenient(active.dose * units) for active in actives]
    total = sum(drugs, base)
    gone = [convenient(displaced_by(active, units)) for active in actives]
    unit = total * (1 / units)
    return (
        *numbered("drug", drugs),
        Result("base", convenient(base)),
        Result("total", convenient(total)),
        Result("unit_weight", convenient(unit)),
        *numbered("displacement_factor", (Number(active.factor) for active in actives)),
        *numbered("base_displaced", gone),
        Result("units", Amount(units, "piece")),
        Result("spare_units", Amount(Fraction(spare), "piece")),
        Result("spare_mass", convenient(unit * spare)),
    )


def _findings(given: Given) -> tuple[Finding, ...]:
    base = given.text("base") if given.has("base") else ""
    said = note(say("for_base", base=base) if base else say("base_unsaid"), "base")
    rows = [
        finding
        for name in (given.texts("substances") if given.has("substances") else ())
        for finding in row_findings(_row(name, base), name, "substances")
    ]
    if _as_base(given):
        rows.append(caution(say("as_base"), "doses"))
    extra = given.number("spare") or given.number("excess")
    return (said, *rows) if extra else (said, note(say("no_spare"), "spare"), *rows)


def _row(substance: str, base: str) -> Mapping[str, Any]:
    return only_row(TABLE, "factor", substance=substance, base=base)


def _factors(given: Given) -> Working[tuple[Fraction, ...]]:
    """Return the g of base that 1 g of each active displaces, however that was given."""
    if not given.has("doses"):
        if any(given.has(way) for way in _WAYS):
            raise Refusal(say("no_actives"))
        return Working((), ())
    doses = _doses(given)
    if _as_base(given) and all(isinstance(dose, Fraction) for dose in doses):
        steps = tuple(say("step.as_base", place=place) for place, _ in enumerate(doses, 1))
        return Working((Fraction(1),) * len(doses), steps)
    way = given_one(given, tuple(_WAYS), say("one_way"))
    require_equal_lengths(given, "doses", way)
    found = _WAYS[way](given)
    if given.has("base_ratio"):
        found = [_heavier(given.number("base_ratio"), *each) for each in enumerate(found, 1)]
    return Working(tuple(factor for factor, _ in found), tuple(step for _, step in found))


def _as_base(given: Given) -> bool:
    """Whether actives were given and nothing of what they displace."""
    return given.has("doses") and not any(given.has(way) for way in _WAYS)


def _heavier(
    ratio: Fraction, place: int, found: tuple[Fraction, Message]
) -> tuple[Fraction, Message]:
    """Return the factor in the base in use, for one found in the calibrated base."""
    heavier = found[0] * ratio
    said = {"factor": found[0], "ratio": ratio, "heavier": heavier}
    return heavier, say("step.factor_heavier", place=place, **said)


def _by_values(given: Given) -> Factors:
    return [_by_value(*each) for each in enumerate(given.numbers("displacement_values"), 1)]


def _by_value(place: int, value: Fraction) -> tuple[Fraction, Message]:
    factor = factor_from_value(value)
    return factor, say("step.from_value", place=place, value=value, factor=factor)


def _by_factors(given: Given) -> Factors:
    return [_by_factor(*each) for each in enumerate(given.numbers("displacement_factors"), 1)]


def _by_factor(place: int, factor: Fraction) -> tuple[Fraction, Message]:
    return factor, say("step.from_factor", place=place, factor=factor)


def _by_densities(given: Given) -> Factors:
    if not given.has("base_density"):
        raise Refusal(say("base_density_needed"))
    base = given.number("base_density")
    return [
        (
            base / density,
            say(
                "step.from_density",
                place=place,
                base_density=base,
                density=density,
                factor=base / density,
            ),
        )
        for place, density in enumerate(given.numbers("drug_densities"), 1)
    ]


def _by_names(given: Given) -> Factors:
    if not given.has("base"):
        raise Refusal(say("base_needed"))
    rows = [_row(name, given.text("base")) for name in given.texts("substances")]
    return [
        (_by_value if row["convention"] == "A" else _by_factor)(place, Fraction(row["factor"]))
        for place, row in enumerate(rows, 1)
    ]


_WAYS: Mapping[str, Callable[[Given], Factors]] = {
    "displacement_values": _by_values,
    "displacement_factors": _by_factors,
    "drug_densities": _by_densities,
    "substances": _by_names,
}

COUNT = (Kind.COUNT,)
MOST_UNITS = Fraction(10_000)
TABLE = "displacement-factors"
SUBSTANCES = Input(
    "substances", (Kind.TEXT,), many=True, optional=True, suggested=names_in_table(TABLE)
)
BASE = Input("base", (Kind.TEXT,), optional=True, suggested=names_in_table(TABLE, "base"))
CALCULATIONS = (
    Calculation(
        "suppositories",
        AREA,
        (
            Input("ordered", COUNT, most=MOST_UNITS),
            Input("spare", COUNT, default="0", positive=False, most=MOST_UNITS),
            Input("excess", (Kind.PERCENT,), default="0 %", positive=False, least=Fraction(0)),
            Input("mould", (Kind.MASS,)),
            Input(
                "doses",
                (Kind.MASS, Kind.STRENGTH, Kind.PERCENT),
                many=True,
                optional=True,
                units=("mg", "g", "microgram", "% w/w", "%"),
            ),
            Input("displacement_values", (Kind.NUMBER,), many=True, optional=True),
            Input("displacement_factors", (Kind.NUMBER,), many=True, optional=True),
            Input("drug_densities", (Kind.DENSITY,), many=True, optional=True),
            Input("base_density", (Kind.DENSITY,), optional=True),
            SUBSTANCES,
            BASE,
            Input("base_ratio", (Kind.NUMBER,), optional=True, most=Fraction(2)),
        ),
        make,
        (
            ("ordered", "12"),
            ("spare", "2"),
            ("mould", "2 g"),
            ("doses", "200 mg"),
            ("displacement_values", "2"),
        ),
    ),
)
