"""Making up a powder: the room that it takes, the diluent to add, the strength that comes out."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Outcome, Result
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import convenient
from formulary.working import Working

AREA = "reconstitution"
TEXTS = {
    "input": {
        "active": "Active substance in the container",
        "displaced": "Volume that the powder takes, or mL for an amount of the active",
        "final_volume": "Volume made up",
        "final_strength": "Strength wanted",
        "diluent": "Diluent added",
        "single_dose": "Dose to draw up",
        "label_diluent": "Diluent on the label",
        "label_volume": "Volume that the label says it makes",
        "label_strength": "Strength that the label says it makes, with the active",
    },
    "result": {
        "diluent": "Diluent to add",
        "final_volume": "Volume made up",
        "strength": "Strength",
        "displaced": "Volume that the powder takes",
        "draw_up": "Volume for the dose",
    },
    "reconstitution": {
        "title": "Making up a powder",
        "words": "powder for suspension, injection, antibiotic, displacement volume, water to "
        "add, vial",
        "about": "Diluent, final volume or strength of a powder that takes room of its own.",
        "source": "Final volume = diluent + volume that the powder takes (displacement).",
        "limits": "The displacement of this product, of this maker, in this diluent.",
        "caution": "Leaving the powder’s volume out gives too weak a liquid. A strength that the "
        "maker doesn’t foresee may not dissolve or keep.",
    },
    "powder_displacement": {
        "title": "Volume that a powder takes, from its label",
        "words": "displacement volume, powder volume, vial, antibiotic, antibiotic suspension",
        "about": "From the diluent that a label asks for and the volume that it says results.",
        "source": "Displacement = final volume − diluent.",
        "limits": "For the whole container, with the diluent of the label.",
        "caution": "Labels round volumes; a small displacement comes out roughly.",
    },
    "step": {
        "for_active": "{active} x {displaced} = {volume} taken by the powder",
        "final_from_strength": "{active} / {strength} = {final_volume}",
        "diluent": "{final_volume} − {displaced} = {diluent} to add",
        "final": "{diluent} + {displaced} = {final_volume}",
        "strength": "{active} / {final_volume} = {strength}",
        "draw_up": "{dose} / {strength} = {draw_up} to draw up",
        "displaced": "{final_volume} − {diluent} = {displaced}",
    },
    "one_of_three": "Give one of volume made up, strength wanted and diluent added.",
    "not_volume_in_amount": "{displaced} isn’t a volume for an amount of the active.",
    "no_room": "The powder alone takes {displaced}; {final_volume} leaves no room for a diluent.",
    "not_comparable": "{strength} doesn’t count the active as {active} does, in a volume.",
    "dose_too_large": "A dose of {dose} is more than the {active} in the container.",
    "volume_or_strength": "Give either the volume that the label says it makes, or the active "
    "substance and the strength.",
    "negative": "The volume made up can’t be less than the diluent.",
}
ACTIVE = (Kind.MASS, Kind.ACTIVITY, Kind.SUBSTANCE, Kind.EQUIVALENTS)
PER_HUNDRED_ML = "% w/v"
say = speaker(AREA)


def diluent_to_add(final_volume: Amount, displaced: Amount) -> Working[Amount]:
    """Return the diluent that makes up a volume. Raises Refusal where the powder fills it."""
    if displaced >= final_volume:
        raise Refusal(say("no_room", displaced=displaced, final_volume=final_volume))
    diluent = convenient(final_volume - displaced)
    step = say("step.diluent", final_volume=final_volume, displaced=displaced, diluent=diluent)
    return Working(diluent, (step,), say("reconstitution.source"))


def reconstitute(given: Given) -> Outcome:
    """Return diluent, volume and strength of a powder made up, and the volume for a dose."""
    name = given_one(given, ("final_volume", "final_strength", "diluent"), say("one_of_three"))
    active = given.amount("active")
    displaced, first = _displaced(given, active)
    if name == "diluent":
        diluent = given.amount("diluent")
        final = convenient(diluent + displaced)
        said = say("step.final", diluent=diluent, displaced=displaced, final_volume=final)
        steps = (*first, said)
    else:
        final, second = _final(given, name, active)
        working = diluent_to_add(final, displaced)
        diluent, steps = working.result, (*first, *second, *working.steps)
    strength = _strength(active, final)
    said = say("step.strength", active=active, final_volume=final, strength=strength)
    results, drawn = _drawn(given, active, strength)
    main = _main_first(name, diluent, final, strength)
    last = steps[-1:] if name != "diluent" else ()
    ordered = (*steps[: len(steps) - len(last)], said, *drawn, *last)
    return Outcome((*main, *results, Result("displaced", displaced)), ordered)


def _strength(active: Amount, final: Amount) -> Concentration:
    """Return the strength in one mL; a mass in mg, as doses are written."""
    held = active.to("mg") if _same(active.unit, "mg") else active
    return Concentration(held.number / final.to("mL").number, f"{held.unit}/mL")


def _main_first(
    name: str, diluent: Amount, final: Amount, strength: Concentration
) -> tuple[Result, ...]:
    """Return the results, the one first that was asked for."""
    results = (
        Result("diluent", diluent),
        Result("final_volume", final),
        Result("strength", strength),
    )
    return results[::-1] if name == "diluent" else results


def _displaced(given: Given, active: Amount) -> tuple[Amount, tuple[Message, ...]]:
    """Return the volume that the powder takes; given for an amount, it is worked out."""
    if given.is_amount("displaced"):
        return given.amount("displaced"), ()
    displaced = given.strength("displaced")
    part, _, whole = displaced.unit.partition("/")
    alike = displaced.unit not in units.PERCENTS and _same(part, "mL") and _same(whole, active.unit)
    if not alike:
        raise Refusal(say("not_volume_in_amount", displaced=displaced))
    volume = convenient(Amount(active.to(whole).number * displaced.number, part))
    return volume, (say("step.for_active", active=active, displaced=displaced, volume=volume),)


def _same(unit: str, other: str) -> bool:
    return units.dimension(unit) is units.dimension(other)


def _final(given: Given, name: str, active: Amount) -> tuple[Amount, tuple[Message, ...]]:
    """Return the volume made up; from a strength it is worked out."""
    if name == "final_volume":
        return given.amount("final_volume"), ()
    return _volume_of(active, given.strength("final_strength"))


def _volume_of(active: Amount, strength: Concentration) -> tuple[Amount, tuple[Message, ...]]:
    """Return the volume in which an amount is so strong, and the step that says so."""
    per_volume = strength
    if strength.unit == PER_HUNDRED_ML:
        per_volume = Concentration(strength.number / 100, "g/mL")
    part, _, whole = per_volume.unit.partition("/")
    known = per_volume.unit not in units.PERCENTS
    if not known or not _same(part, active.unit) or not _same(whole, "mL"):
        raise Refusal(say("not_comparable", strength=strength, active=active))
    final = convenient(Amount(active.to(part).number / per_volume.number, whole))
    said = {"active": active, "strength": strength, "final_volume": final}
    return final, (say("step.final_from_strength", **said),)


def _drawn(
    given: Given, active: Amount, strength: Concentration
) -> tuple[tuple[Result, ...], tuple[Message, ...]]:
    """Return the volume that holds a dose, if one was asked for."""
    if not given.has("single_dose"):
        return (), ()
    dose = given.amount("single_dose")
    if dose > active:
        raise Refusal(say("dose_too_large", dose=dose, active=active))
    part, whole = units.split_concentration(strength.unit)
    volume = convenient(Amount(dose.to(part).number / strength.number, whole))
    step = say("step.draw_up", dose=dose, strength=strength, draw_up=volume)
    return (Result("draw_up", volume),), (step,)


def displacement(given: Given) -> Outcome:
    """Return the room that a powder takes, from the two volumes on its label."""
    diluent = given.amount("label_diluent")
    final, first = _label_volume(given)
    if final < diluent:
        raise Refusal(say("negative"))
    displaced = convenient(final - diluent)
    step = say("step.displaced", final_volume=final, diluent=diluent, displaced=displaced)
    return Outcome((Result("displaced", displaced),), (*first, step))


def _label_volume(given: Given) -> tuple[Amount, tuple[Message, ...]]:
    """Return the volume that a label says results, or that its strength amounts to."""
    by_strength = given.has("active") and given.has("label_strength")
    if given.has("active") != given.has("label_strength") or by_strength == given.has(
        "label_volume"
    ):
        raise Refusal(say("volume_or_strength"))
    if not by_strength:
        return given.amount("label_volume"), ()
    return _volume_of(given.amount("active"), given.strength("label_strength"))


CALCULATIONS = (
    Calculation(
        "reconstitution",
        AREA,
        (
            Input("active", ACTIVE),
            Input(
                "displaced",
                (Kind.VOLUME, Kind.STRENGTH),
                positive=False,
                least=Fraction(0),
                units=("mL", "mL/g"),
            ),
            Input("final_volume", (Kind.VOLUME,), optional=True),
            Input("final_strength", (Kind.STRENGTH,), optional=True, units=("mg/mL", "% w/v")),
            Input("diluent", (Kind.VOLUME,), optional=True),
            Input("single_dose", ACTIVE, optional=True),
        ),
        reconstitute,
        (
            ("active", "500 mg"),
            ("displaced", "0.4 mL"),
            ("final_volume", "5 mL"),
            ("single_dose", "125 mg"),
        ),
    ),
    Calculation(
        "powder-displacement",
        AREA,
        (
            Input("label_diluent", (Kind.VOLUME,)),
            Input("label_volume", (Kind.VOLUME,), optional=True),
            Input("active", ACTIVE, optional=True),
            Input("label_strength", (Kind.STRENGTH,), optional=True, units=("mg/mL",)),
        ),
        displacement,
        (("label_diluent", "78 mL"), ("label_volume", "100 mL")),
    ),
)
