"""Density of a liquid from a body weighed in air, in water and in the liquid (Archimedes)."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result
from formulary.calculating.values import Given
from formulary.calculations.density import in_g_per_ml
from formulary.errors import Refusal
from formulary.finding import Severity
from formulary.quantity.amount import Amount
from formulary.working import Working

AREA = "plummet"
TEXTS = {
    "input": {
        "in_air": "Plummet weighed in air",
        "in_water": "Plummet weighed in water",
        "in_liquid": "Plummet weighed in the liquid",
        "water_density": "Density of the water",
    },
    "result": {"relative_density": "Relative density", "density": "Density"},
    "plummet": {
        "title": "Density by a plummet",
        "about": "Density and relative density of a liquid from one body weighed in air, in water "
        "and in the liquid.",
        "words": "specific gravity, sp.gr., SG, hydrostatic balance, Westphal, Archimedes, sinker",
        "source": "Archimedes: what a body loses of its weight in a liquid is the weight of the "
        "liquid displaced.",
        "limits": "Water and liquid at one temperature; the buoyancy of air is left out.",
        "caution": "The plummet hangs free, wholly under the liquid and without bubbles.",
    },
    "step": {
        "water": "{in_air} − {in_water} = {water} of water displaced",
        "liquid": "{in_air} − {in_liquid} = {liquid} of the liquid displaced",
        "relative": "{liquid} / {water} = {relative_density}",
        "density": "{relative_density} x {water_density} = {density}",
    },
    "no_loss": "In the liquid and in water a plummet must weigh less than in air.",
}
say = speaker(AREA)


def relative_density(in_air: Amount, in_water: Amount, in_liquid: Amount) -> Working[Fraction]:
    """Return the density of the liquid by that of water.

    Raises :class:`formulary.errors.Refusal` unless both weights are below that in air.
    """
    water, liquid = in_air - in_water, in_air - in_liquid
    if water.number <= 0 or liquid.number <= 0:
        raise Refusal(say("no_loss"))
    ratio = liquid / water
    return Working(
        ratio,
        (
            say("step.water", in_air=in_air, in_water=in_water, water=water),
            say("step.liquid", in_air=in_air, in_liquid=in_liquid, liquid=liquid),
            say("step.relative", liquid=liquid, water=water, relative_density=ratio),
        ),
    )


def by_plummet(given: Given) -> Outcome:
    """Return relative density and density of the liquid."""
    weighings = (given.amount(name) for name in ("in_air", "in_water", "in_liquid"))
    relative = relative_density(*weighings)
    of_water = given.number("water_density")
    density = in_g_per_ml(relative.result * of_water)
    said = {"relative_density": relative.result, "water_density": in_g_per_ml(of_water)}
    last = say("step.density", density=density, **said)
    results = (Result("relative_density", Number(relative.result)), Result("density", density))
    return Outcome(results, (*relative.steps, last))


MASS = (Kind.MASS,)
CALCULATIONS = (
    Calculation(
        "plummet",
        AREA,
        (
            Input("in_air", MASS),
            Input("in_water", MASS),
            Input("in_liquid", MASS),
            Input("water_density", (Kind.DENSITY,), default="0.9982 g/mL", assumed=Severity.NOTE),
        ),
        by_plummet,
        (("in_air", "14.35 g"), ("in_water", "11.40 g"), ("in_liquid", "8.95 g")),
    ),
)
