"""Hard capsules filled by volume: their size, and the filler up to a calibrated volume."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from formulary.calculating.choosing import numbered
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.lists import only_row, require_equal_lengths, row_findings
from formulary.calculating.outcome import Number, Outcome, Result, note
from formulary.calculating.tables import table
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient
from formulary.working import Working

AREA = "capsules"
TEXTS = {
    "input": {
        "capsules": "Capsules ordered",
        "spare": "Spare capsules",
        "excess": "Excess of powder for losses",
        "doses": "Active in one capsule",
        "size": "Capsule size",
        "chart": "Size chart of the table",
        "volume": "Volume of one capsule body",
        "drug_densities": "Tapped densities of the actives",
        "filler_density": "Tapped density of the filler",
        "mixture_density": "Tapped density of the mixture",
        "fill": "Mass to fill one capsule with",
        "masses": "Powders in one capsule",
        "densities": "Their tapped densities, or one of the mixture",
        "fill_volume": "Volume of powder in one capsule",
    },
    "result": {
        "powder_for": "Powder for so many capsules",
        "drug": "Active to weigh for all",
        "drug_total": "Actives together, for all",
        "drug_volume": "In one capsule: volume of the actives",
        "calibrated_volume": "Volume to fill up to, for all",
        "filler_volume": "Volume of the filler, for all",
        "filler_each": "In one capsule: filler",
        "filler": "Filler to weigh for all",
        "mixture": "Mixture, for all",
        "fill": "In one capsule: powder",
        "spare_capsules": "Of these spare",
        "size": "Smallest size that holds it",
        "capsule_volume": "Volume of that capsule",
        "fill_volume": "Volume of powder in one capsule",
        "filled": "Part of the capsule that is filled",
    },
    "capsule_filling": {
        "title": "Capsules: active and filler",
        "words": "capsules, lactose, mannitol, excipient, diluent, calibrated cylinder, "
        "overage, q.s.",
        "about": "Actives and filler for so many capsules and spare ones, by volume: filler up "
        "to the calibrated volume, and its mass where densities are known.",
        "source": "Number x volume of the capsule body = volume of the powder; mass = volume x "
        "tapped density.",
        "limits": "Tapped densities of the powders as they are filled. Volumes of powders are "
        "taken to add; the volume of the mixture may be less.",
        "caution": "Fill up to the calibrated volume by tapping, whatever mass was calculated. "
        "Mix the actives with the filler in growing equal parts. Spare capsules are never handed "
        "over.",
    },
    "capsule_size": {
        "title": "Capsule size",
        "words": "capsules, size 0, size 00, size 1, volume, tapped density",
        "about": "The smallest capsule that holds a volume or a mass of powder.",
        "source": "Volume = mass / tapped density; size charts of two makers, see the table.",
        "limits": "Sizes 000 to 5 of the chart chosen. Makers differ: use your supplier’s volumes.",
        "caution": "Check with a trial filling before the batch is mixed.",
    },
    "step": {
        "number": "({capsules} ordered + {spare} spare) x (1 + {excess} %) = powder for {number}",
        "drug": "Active {place}: {number} x {dose} = {drug}",
        "volume_of": "{mass} / {density} g/mL = {volume}",
        "calibrated": "{number} x {volume} = {total} to fill up to",
        "room": "{capsule} − {drugs} = {room} for filler in one capsule",
        "filler_each": "{room} x {density} g/mL = {filler} of filler in one capsule",
        "mixture": "{capsule} x {density} g/mL = {fill} of mixture in one capsule",
        "filler_rest": "{fill} − {drugs} = {filler} of filler in one capsule",
        "filler": "{number} x {each} = {filler} of filler in all",
        "size": "{volume} of powder fits size {size} ({capsule}), filled to {percent} %",
    },
    "fill_or_volume": "Give either the mass to fill one capsule with, or its volume with "
    "densities.",
    "overfilled_by_fill": "The actives weigh {drugs}, more than the {fill} meant for one capsule.",
    "size_or_volume": "Give either a size from the chart or the volume of the capsule, not both.",
    "mixture_or_parts": "Give either the density of the mixture, or those of actives and filler.",
    "densities_need_size": "Densities are of use only with the size or volume of the capsule.",
    "filler_needs_drugs": "With the filler’s density, give those of the actives too.",
    "overfilled": "Overfilled: the actives alone take {drugs} and the capsule holds {capsule}. "
    "Take a larger size, or divide the dose.",
    "overfilled_by_mass": "Overfilled: the actives weigh {drugs} and the capsule holds {fill} of "
    "the mixture. Take a larger size, or divide the dose.",
    "powder_or_volume": "Give either the volume of the powder, or masses with their densities.",
    "too_big": "{volume} is more than the largest capsule of the chart holds ({capsule}).",
    "chart_volume": "Size {size} of chart {chart} holds {volume}. Makers differ: use the volume "
    "your supplier states.",
    "called": "Size {size}",
    "no_spare": "Nothing is counted for losses.",
}
say = speaker(AREA)
WHOLE = 100
NO_VOLUME = Amount(Fraction(0), "mL")
NO_MASS = Amount(Fraction(0), "g")
IN_ONE = ("drug_volume", "filler_each", "fill")
"""Results that are of one capsule; they follow those of the whole batch."""


@dataclass(frozen=True, slots=True)
class Powder:
    """A powder in one capsule and its tapped density in g/mL."""

    mass: Amount
    density: Fraction

    @property
    def volume(self) -> Amount:
        """The volume it takes."""
        return Amount(self.mass.to("g").number / self.density, "mL")


def filler_by_volume(
    capsule: Amount, drugs: Sequence[Powder], filler_density: Fraction
) -> Working[Amount]:
    """Return the filler in one capsule: what room the actives leave, times its density.

    Raises Refusal where the actives alone are more than the capsule holds.
    """
    room = room_for_filler(capsule, drugs)
    filler = Amount(room.result.number * filler_density, "g")
    said = {"room": room.result, "density": filler_density, "filler": convenient(filler)}
    return Working(filler, (*room.steps, say("step.filler_each", **said)))


def room_for_filler(capsule: Amount, drugs: Sequence[Powder]) -> Working[Amount]:
    """Return the volume that the actives leave in one capsule. Raises Refusal if overfilled."""
    taken = sum((drug.volume for drug in drugs), NO_VOLUME)
    if taken > capsule:
        raise Refusal(say("overfilled", drugs=taken, capsule=capsule))
    room = capsule.to("mL") - taken
    volumes = (
        say("step.volume_of", mass=drug.mass, density=drug.density, volume=drug.volume)
        for drug in drugs
    )
    return Working(room, (*volumes, say("step.room", capsule=capsule, drugs=taken, room=room)))


def filler_by_mixture(
    capsule: Amount, drugs: Sequence[Amount], mixture_density: Fraction
) -> Working[Amount]:
    """Return the filler in one capsule from the tapped density of the whole mixture.

    Raises Refusal where the actives alone weigh more than the capsule holds.
    """
    fill = Amount(capsule.to("mL").number * mixture_density, "g")
    active = sum(drugs, NO_MASS)
    if active > fill:
        raise Refusal(say("overfilled_by_mass", drugs=active, fill=fill))
    filler = fill - active
    first = say("step.mixture", capsule=capsule, density=mixture_density, fill=fill)
    return Working(filler, (first, say("step.filler_rest", fill=fill, drugs=active, filler=filler)))


def fill(given: Given) -> Outcome:
    """Return actives, filler and volume for the capsules ordered and the spare ones."""
    require_equal_lengths(given, "doses", "drug_densities")
    number, first = _number(given)
    doses = given.amounts("doses")
    drugs = [convenient(dose.to("g") * number) for dose in doses]
    pairs = enumerate(zip(doses, drugs, strict=True), 1)
    steps = (
        first,
        *(say("step.drug", place=i, number=number, dose=d, drug=all_) for i, (d, all_) in pairs),
    )
    filled = _filling(given, number)
    results = (
        *numbered("drug", drugs),
        *(each for each in filled.results if each.name not in IN_ONE),
        Result("drug_total", convenient(sum((each.to("g") for each in drugs), NO_MASS))),
        Result("powder_for", Amount(number, "piece")),
        Result("spare_capsules", Amount(given.number("spare"), "piece")),
        *(each for each in filled.results if each.name in IN_ONE),
    )
    spare = () if number > given.number("capsules") else (note(say("no_spare"), "spare"),)
    findings = (*filled.findings, *spare)
    return Outcome(results, (*steps, *filled.steps), findings)


def _number(given: Given) -> tuple[Fraction, Message]:
    capsules, spare, excess = (given.number(name) for name in ("capsules", "spare", "excess"))
    number = (capsules + spare) * (1 + excess / WHOLE)
    said = {"capsules": capsules, "spare": spare, "excess": excess}
    return number, say("step.number", number=number, **said)


def _filling(given: Given, number: Fraction) -> Outcome:
    """Return what follows from the capsule's volume or the mass in it; else nothing."""
    if given.has("fill"):
        return _up_to_mass(given, number)
    if given.has("size") and given.has("volume"):
        raise Refusal(say("size_or_volume"))
    densities = [name for name in given.values if name.endswith("_density")]
    if not given.has("size") and not given.has("volume"):
        if densities or given.has("drug_densities"):
            raise Refusal(say("densities_need_size"))
        return Outcome((), ())
    capsule, findings = _capsule(given)
    total = capsule * number
    calibrated = say("step.calibrated", number=number, volume=capsule, total=total)
    volume = Result("calibrated_volume", convenient(total))
    filler = _filler(given, capsule, number)
    return Outcome((volume, *filler.results), (calibrated, *filler.steps), findings)


def _up_to_mass(given: Given, number: Fraction) -> Outcome:
    """Return the filler up to a mass that was settled for one capsule."""
    by_volume = ("size", "volume", "drug_densities", "filler_density", "mixture_density")
    if any(given.has(name) for name in by_volume):
        raise Refusal(say("fill_or_volume"))
    doses, fill_mass = given.amounts("doses"), given.amount("fill")
    drugs = sum(doses, NO_MASS).to(fill_mass.unit)
    if drugs > fill_mass:
        raise Refusal(say("overfilled_by_fill", drugs=convenient(drugs), fill=given.amount("fill")))
    filler = fill_mass - drugs
    step = say("step.filler_rest", fill=fill_mass, drugs=drugs, filler=filler)
    return _filler_in_all(Working(filler, (step,)), doses, number)


def _filler(given: Given, capsule: Amount, number: Fraction) -> Outcome:
    by_mixture = given.has("mixture_density")
    by_parts = given.has("drug_densities") or given.has("filler_density")
    if by_mixture and by_parts:
        raise Refusal(say("mixture_or_parts"))
    doses = given.amounts("doses")
    if by_mixture:
        found = filler_by_mixture(capsule, doses, given.number("mixture_density"))
        return _filler_in_all(found, doses, number)
    if not by_parts:
        return Outcome((), ())
    if not given.has("drug_densities"):
        raise Refusal(say("filler_needs_drugs"))
    drugs = [Powder(*each) for each in zip(doses, given.numbers("drug_densities"), strict=True)]
    room = room_for_filler(capsule, drugs)
    results = (
        Result("drug_volume", convenient(capsule - room.result)),
        Result("filler_volume", convenient(room.result * number)),
    )
    if not given.has("filler_density"):
        return Outcome(results, room.steps)
    found = filler_by_volume(capsule, drugs, given.number("filler_density"))
    whole = _filler_in_all(found, doses, number)
    return Outcome((*results, *whole.results), whole.steps)


def _filler_in_all(each: Working[Amount], doses: Sequence[Amount], number: Fraction) -> Outcome:
    filler = convenient(each.result * number)
    powder = sum(doses, NO_MASS) + each.result
    results = (
        Result("filler_each", convenient(each.result)),
        Result("filler", filler),
        Result("fill", convenient(powder)),
        Result("mixture", convenient(powder * number)),
    )
    last = say("step.filler", number=number, each=convenient(each.result), filler=filler)
    return Outcome(results, (*each.steps, last))


def _capsule(given: Given) -> tuple[Amount, tuple[Finding, ...]]:
    if given.has("volume"):
        return given.amount("volume").to("mL"), ()
    size, chart = given.text("size"), given.text("chart")
    row = only_row("capsule-volumes", "volume_ml", chart=chart, size=size)
    return _volume(row), _chart_findings(row, "size")


def _volume(row: Mapping[str, Any]) -> Amount:
    return Amount(Fraction(row["volume_ml"]), "mL")


def _chart_findings(row: Mapping[str, Any], field: str) -> tuple[Finding, ...]:
    size, chart = row["size"], row["chart"]
    said = note(say("chart_volume", size=size, chart=chart, volume=_volume(row)), field)
    return (said, *row_findings(row, say("called", size=size), field))


def choose_size(volume: Amount, chart: str) -> Mapping[str, Any]:
    """Return the row of the smallest capsule that holds a volume. Raises Refusal if none does."""
    rows = sorted((r for r in table("capsule-volumes") if r["chart"] == chart), key=_by_volume)
    for row in rows:
        if volume <= _volume(row):
            return row
    raise Refusal(say("too_big", volume=volume, capsule=_volume(rows[-1])))


def _by_volume(row: Mapping[str, Any]) -> Fraction:
    return Fraction(row["volume_ml"])


def find_size(given: Given) -> Outcome:
    """Return the smallest capsule for a volume, or for powders with their densities."""
    volume, steps = _powder_volume(given)
    row = choose_size(volume, given.text("chart"))
    capsule = _volume(row)
    percent = volume / capsule * WHOLE
    results = (
        Result("size", str(row["size"])),
        Result("capsule_volume", capsule),
        Result("fill_volume", convenient(volume)),
        Result("filled", Number(percent, "%")),
    )
    said = {"volume": volume, "capsule": capsule, "percent": percent}
    last = say("step.size", size=str(row["size"]), **said)
    return Outcome(results, (*steps, last), _chart_findings(row, "chart"))


def _powder_volume(given: Given) -> tuple[Amount, tuple[Message, ...]]:
    by_mass = given.has("masses") and given.has("densities")
    if given.has("masses") != given.has("densities") or by_mass == given.has("fill_volume"):
        raise Refusal(say("powder_or_volume"))
    if not by_mass:
        return given.amount("fill_volume").to("mL"), ()
    masses, densities = given.amounts("masses"), given.numbers("densities")
    if len(densities) == 1:
        masses = (sum(masses, NO_MASS),)
    else:
        require_equal_lengths(given, "masses", "densities")
    pairs = zip(masses, densities, strict=True)
    powders = [Powder(mass, density) for mass, density in pairs]
    steps = (
        say("step.volume_of", mass=each.mass, density=each.density, volume=each.volume)
        for each in powders
    )
    return sum((each.volume for each in powders), NO_VOLUME), tuple(steps)


COUNT = (Kind.COUNT,)
DENSITY = (Kind.DENSITY,)
MOST_CAPSULES = Fraction(10_000)
SIZES = ("000", "00E", "00", "0E", "0", "1", "2", "3", "4", "5")
CHART = Input("chart", (Kind.CHOICE,), default="1", choices=("1", "2"))
CALCULATIONS = (
    Calculation(
        "capsule-filling",
        AREA,
        (
            Input("capsules", COUNT, most=MOST_CAPSULES),
            Input("spare", COUNT, default="0", positive=False, most=MOST_CAPSULES),
            Input("excess", (Kind.PERCENT,), default="0 %", positive=False, least=Fraction(0)),
            Input("doses", (Kind.MASS,), many=True),
            Input("size", (Kind.CHOICE,), optional=True, choices=SIZES),
            CHART,
            Input("volume", (Kind.VOLUME,), optional=True),
            Input("drug_densities", DENSITY, many=True, optional=True),
            Input("filler_density", DENSITY, optional=True),
            Input("mixture_density", DENSITY, optional=True),
            Input("fill", (Kind.MASS,), optional=True),
        ),
        fill,
        (
            ("capsules", "10"),
            ("spare", "1"),
            ("doses", "325 mg"),
            ("volume", "0.48 mL"),
            ("drug_densities", "0.75 g/mL"),
            ("filler_density", "0.8 g/mL"),
        ),
    ),
    Calculation(
        "capsule-size",
        AREA,
        (
            Input("masses", (Kind.MASS,), many=True, optional=True),
            Input("densities", DENSITY, many=True, optional=True),
            Input("fill_volume", (Kind.VOLUME,), optional=True),
            CHART,
        ),
        find_size,
        (("masses", "325 mg; 40 mg"), ("densities", "0.75; 0.8")),
    ),
)
