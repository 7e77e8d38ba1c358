"""How much cream or ointment a skin area takes: fingertip units, hands, or area."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.lists import names_in_table, row_findings
from formulary.calculating.outcome import Number, Outcome, Result, note
from formulary.calculating.tables import table
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Severity
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import convenient

AREA = "topical_amounts"
TEXTS = {
    "input": {
        "age": "Age",
        "regions": "Regions of the skin, one entry for each arm, hand, leg or foot",
        "unit_weighs": "One fingertip unit weighs",
        "applications_per_day": "Applications in a day",
        "days": "Days",
        "hands": "Area in hands of the patient, palm with fingers",
        "area": "Area of skin",
        "body_share": "Share of the body surface",
        "body_surface": "Body surface area",
        "spread": "Mass on an area",
    },
    "result": {
        "units": "Fingertip units for one application",
        "each": "For one application",
        "total": "For the whole treatment",
        "area": "Area of skin",
    },
    "fingertip_units": {
        "title": "Cream or ointment by fingertip units",
        "words": "FTU, finger tip, cream, ointment, steroid, topical, dermatology, amount to "
        "prescribe",
        "about": "How much a treatment takes, from the regions of the skin.",
        "source": "Long and Finlay 1991 (adults); Long, Mills and Finlay 1998 (children), as "
        "quoted in the table.",
        "limits": "A 5 mm nozzle and an adult’s finger; 0.5 g in one unit is an average.",
        "caution": "A guide to a quantity. Potent steroids follow their own limits.",
    },
    "topical_amount_by_area": {
        "title": "Cream or ointment by area of skin",
        "words": "FTU, fingertip, cream, ointment, steroid, topical, palm, hand, body "
        "surface, BSA, dermatology",
        "about": "How much a treatment takes, from hands, an area or a share of the body surface.",
        "source": "One fingertip unit (0.5 g) covers two hands; one hand is about 1 % of the body "
        "surface: Long and Finlay 1991, as quoted on teaching pages.",
        "limits": "An even, thin layer. Areas other than hands need the mass on an area.",
        "caution": "A guide to a quantity. What is taken up through the skin grows with the area.",
    },
    "step": {
        "regions": "{regions}: {units} units in all",
        "units": "{units} x {unit_weighs} = {each} for one application",
        "hands": "{hands} hands / 2 x {unit_weighs} = {each} for one application",
        "share_in_hands": "{share} % of the body surface is about {hands} hands, at 1 % each",
        "share": "{body_share} % of {body_surface} = {area}",
        "area": "{area} x {spread} = {each} for one application",
        "total": "{each} x {applications} x {days} = {total}",
    },
    "unknown_region": "“{region}” isn’t a region for this age. The regions are {known}.",
    "one_area": "Give the area once: as hands, as an area or as a share of the body surface.",
    "spread_missing": "An area needs the mass on it, such as 0.5 g/300 cm2.",
    "not_a_spread": "{spread} isn’t a mass on an area.",
    "surface_missing": "A share of the body surface needs the body surface area.",
    "about_one_percent": "That one hand is 1 % of the body surface is a rule of thumb; in children "
    "and heavy people it differs.",
}
TABLE = "fingertip-units"
AGES = ("adult", "3 to 6 months", "1 to 2 years", "3 to 5 years", "6 to 10 years")
HANDS_PER_UNIT = 2
say = speaker(AREA)


def rows_by_region(age: str) -> dict[str, Mapping[str, Any]]:
    """Return the table's row for each region at an age."""
    return {row["region"]: row for row in table(TABLE) if row["age"] == age}


def fingertip_units(given: Given) -> Outcome:
    """Return the units for one application, and the mass for all."""
    known = rows_by_region(given.text("age"))
    regions = [region.casefold() for region in given.texts("regions")]
    for region in regions:
        if region not in known:
            raise Refusal(say("unknown_region", region=region, known=", ".join(known)))
    count = sum((Fraction(known[region]["units"]) for region in regions), Fraction(0))
    weighs = given.amount("unit_weighs")
    each = convenient(weighs * count)
    steps = (
        say("step.regions", regions=", ".join(regions), units=count),
        say("step.units", units=count, unit_weighs=weighs, each=each),
    )
    total, step = _in_all(given, each)
    results = (*total, Result("units", Number(count)))
    doubts = {region: row_findings(known[region], region, "regions") for region in regions}
    found = dict.fromkeys(each for findings in doubts.values() for each in findings[1:])
    return Outcome(results, (*steps, step), tuple(found))


def _in_all(given: Given, each: Amount) -> tuple[tuple[Result, ...], Message]:
    applications, days = given.count("applications_per_day"), _days(given)
    total = convenient(each * (applications * days))
    step = say("step.total", each=each, applications=applications, days=days, total=total)
    return (Result("total", total), Result("each", each)), step


def _days(given: Given) -> Fraction:
    return (
        given.amount("days").to("day").number if given.is_amount("days") else given.number("days")
    )


def amount_by_area(given: Given) -> Outcome:
    """Return the mass for one application and for all, from the area."""
    name = given_one(given, ("hands", "area", "body_share"), say("one_area"))
    by_hands = name == "body_share" and not given.has("spread")
    if name == "hands" or by_hands:
        # One hand is about 1 % of the body surface, so that the figures are the same.
        hands, weighs = given.number(name), given.amount("unit_weighs")
        each = convenient(weighs * (hands / HANDS_PER_UNIT))
        total, step = _in_all(given, each)
        first = (say("step.share_in_hands", share=hands, hands=hands),) if by_hands else ()
        said = say("step.hands", hands=hands, unit_weighs=weighs, each=each)
        findings = (note(say("about_one_percent"), "body_share"),) if by_hands else ()
        return Outcome(total, (*first, said, step), findings)
    area, steps = _area(given)
    spread = _spread(given)
    part, _, whole = spread.unit.partition("/")
    each = convenient(Amount(area.to(whole).number * spread.number, part))
    total, step = _in_all(given, each)
    said = say("step.area", area=area, spread=spread, each=each)
    return Outcome((*total, Result("area", area)), (*steps, said, step))


def _area(given: Given) -> tuple[Amount, tuple[Message, ...]]:
    if given.has("area"):
        return given.amount("area"), ()
    if not given.has("body_surface"):
        raise Refusal(say("surface_missing"))
    share, surface = given.number("body_share"), _surface(given)
    area = (surface * (share / 100)).to("cm2")
    return area, (say("step.share", body_share=share, body_surface=surface, area=area),)


def _surface(given: Given) -> Amount:
    """Return the body surface; a bare number is in m2."""
    if given.is_amount("body_surface"):
        return given.amount("body_surface")
    return Amount(given.number("body_surface"), "m2")


def _spread(given: Given) -> Concentration:
    if not given.has("spread"):
        raise Refusal(say("spread_missing"))
    spread = given.strength("spread")
    part, _, whole = spread.unit.partition("/")
    known = spread.unit not in units.PERCENTS
    if not known or units.dimension(part) is not units.MASS or whole not in ("cm2", "m2"):
        raise Refusal(say("not_a_spread", spread=spread))
    return spread


_COURSE = (
    Input("unit_weighs", (Kind.MASS,), default="0.5 g", assumed=Severity.NOTE),
    Input(
        "applications_per_day",
        (Kind.COUNT,),
        default="1",
        most=Fraction(24),
        assumed=Severity.REASON,
    ),
    Input(
        "days", (Kind.COUNT, Kind.TIME), default="1", most=Fraction(3660), assumed=Severity.REASON
    ),
)
CALCULATIONS = (
    Calculation(
        "fingertip-units",
        AREA,
        (
            Input("age", (Kind.CHOICE,), default=AGES[0], choices=AGES, assumed=Severity.REASON),
            Input("regions", (Kind.TEXT,), many=True, suggested=names_in_table(TABLE, "region")),
            *_COURSE,
        ),
        fingertip_units,
        (("regions", "one arm; one arm; one hand; one hand"), ("applications_per_day", "2")),
    ),
    Calculation(
        "topical-amount-by-area",
        AREA,
        (
            Input("hands", (Kind.NUMBER,), optional=True, most=Fraction(100)),
            Input("area", (Kind.AREA,), optional=True, units=("cm2", "m2")),
            Input("body_share", (Kind.PERCENT,), optional=True, most=Fraction(100)),
            Input("body_surface", (Kind.AREA, Kind.NUMBER), optional=True, units=("m2",)),
            Input("spread", (Kind.STRENGTH,), optional=True, units=("mg/cm2",)),
            *_COURSE,
        ),
        amount_by_area,
        (("hands", "4"), ("applications_per_day", "2"), ("days", "7")),
    ),
)
