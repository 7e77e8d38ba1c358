"""Sodium chloride equivalents estimated from molar mass and dissociation."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result
from formulary.calculating.values import Given
from formulary.finding import Severity
from formulary.messages import Message

AREA = "tonicity_estimates"
TEXTS = {
    "input": {
        "molar_mass": "Molar mass of the substance",
        "dissociation": "Dissociation factor i",
        "ions": "Particles into which one molecule parts",
        "parted": "Part of the molecules that is parted",
        "l_iso": "L iso of its kind",
        "reference_molar_mass": "Molar mass of sodium chloride",
        "reference_dissociation": "Dissociation factor of sodium chloride",
    },
    "result": {
        "equivalent": "Sodium chloride equivalent (E)",
        "dissociation": "Dissociation factor i",
    },
    "sodium_chloride_equivalent": {
        "title": "Sodium chloride equivalent of a substance",
        "words": "E value, tonicity, isotonic, L iso, dissociation factor, i value, van ’t Hoff",
        "about": "E from the molar mass and the dissociation, where no measured value is at hand.",
        "source": "E = M(NaCl) x i / (i(NaCl) x M); i = 1 + parted x (particles − 1); or E = 17 x "
        "L iso / M.",
        "limits": "An estimate for dilute solutions. Unless said otherwise, 80 % of a salt is "
        "taken to be parted; of zinc sulfate it is about 40 %.",
        "caution": "Prefer a measured value with its source.",
    },
    "step": {
        "ions": "i = 1 + {parted} % x ({ions} − 1) = {found}",
        "equivalent": "{reference} x {i} / ({reference_i} x {molar_mass}) = {equivalent}",
        "l_iso": "17 x {l_iso} / {molar_mass} = {equivalent}",
    },
    "one_dissociation": "Give one of the dissociation factor, the number of particles and L iso.",
}
say = speaker(AREA)
WHOLE = 100
L_ISO_FACTOR = 17


def estimate_equivalent(given: Given) -> Outcome:
    """Return E from the molar mass and the dissociation."""
    molar_mass = given.number("molar_mass")
    way = given_one(given, ("dissociation", "ions", "l_iso"), say("one_dissociation"))
    if way == "l_iso":
        l_iso = given.number("l_iso")
        found = L_ISO_FACTOR * l_iso / molar_mass
        step = say("step.l_iso", l_iso=l_iso, molar_mass=molar_mass, equivalent=found)
        return Outcome((Result("equivalent", Number(found)),), (step,))
    i, first = _dissociation(given, way)
    reference, reference_i = (
        given.number(f"reference_{name}") for name in ("molar_mass", "dissociation")
    )
    found = reference * i / (reference_i * molar_mass)
    said = {"reference": reference, "reference_i": reference_i, "molar_mass": molar_mass}
    last = say("step.equivalent", i=i, equivalent=found, **said)
    results = (Result("equivalent", Number(found)), Result("dissociation", Number(i)))
    return Outcome(results, (*first, last))


def _dissociation(given: Given, way: str) -> tuple[Fraction, tuple[Message, ...]]:
    if way == "dissociation":
        return given.number("dissociation"), ()
    ions, parted = given.count("ions"), given.number("parted")
    found = 1 + parted / WHOLE * (ions - 1)
    return found, (say("step.ions", ions=ions, parted=parted, found=found),)


NUMBER = (Kind.NUMBER,)
CALCULATIONS = (
    Calculation(
        "sodium-chloride-equivalent",
        AREA,
        (
            Input("molar_mass", (Kind.MOLAR_MASS,)),
            Input("dissociation", NUMBER, optional=True),
            Input("ions", (Kind.COUNT,), optional=True, most=Fraction(5)),
            Input(
                "parted",
                (Kind.PERCENT,),
                default="80 %",
                most=Fraction(WHOLE),
                assumed=Severity.NOTE,
                matters_with=("ions",),
            ),
            Input("l_iso", NUMBER, optional=True),
            Input("reference_molar_mass", (Kind.MOLAR_MASS,), default="58.44"),
            Input("reference_dissociation", NUMBER, default="1.8"),
        ),
        estimate_equivalent,
        (("molar_mass", "376"), ("dissociation", "1.8"), ("reference_molar_mass", "58.5")),
    ),
)
