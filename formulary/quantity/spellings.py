"""What people type for a unit: what is understood, and what is refused because it could mislead.

Refusals follow the published lists of error-prone abbreviations (ISMP, Joint Commission).
"""

from __future__ import annotations

_UNDERSTOOD = {
    "kg": "kg kilogram kilograms kilogramm",
    "g": "g gram grams gramme grammes gramm",
    "mg": "mg milligram milligrams milligramm",
    # Micro sign and Greek mu are one letter after case folding.
    "microgram": "microgram micrograms mikrogramm mcg ug \N{GREEK SMALL LETTER MU}g",
    "nanogram": "nanogram nanograms nanogramm ng",
    "L": "l liter liters litre litres",
    "mL": "ml milliliter milliliters millilitre millilitres",
    "microlitre": (
        "microlitre microlitres microliter microliters mikroliter ul \N{GREEK SMALL LETTER MU}l"
    ),
    "drop": "drop drops gtt gtts gutta guttae tropfen",
    "piece": (
        "piece pieces pc pcs st\N{LATIN SMALL LETTER U WITH DIAERESIS}ck tablet tablets "
        "capsule capsules suppository suppositories pessary pessaries"
    ),
    "mol": "mol mole moles",
    "mmol": "mmol millimole millimoles",
    "micromole": "micromole micromoles umol \N{GREEK SMALL LETTER MU}mol mikromol",
    "Eq": "eq equivalent equivalents",
    "mEq": "meq milliequivalent milliequivalents",
    "Osm": "osm osmol osmole osmoles",
    "mOsm": "mosm mosmol milliosmole milliosmoles",
    "minute": "minute minutes min minuten",
    "hour": "hour hours h stunde stunden",
    "day": "day days d tag tage",
    "week": "week weeks woche wochen",
    "cm": "cm centimetre centimetres centimeter centimeters zentimeter",
    "mm": "mm millimetre millimetres millimeter millimeters",
    "m2": "m2 m\N{SUPERSCRIPT TWO}",
    "cm2": "cm2 cm\N{SUPERSCRIPT TWO}",
}

_UNIT_WORDS = (
    "iu",
    "i.u",
    "ie",
    "i.e",
    "unit",
    "units",
    "int. unit",
    "int. units",
    "int unit",
    "int units",
    "international unit",
    "international units",
    "einheit",
    "einheiten",
    "internationale einheit",
    "internationale einheiten",
)

SYMBOLS = {
    spelling: symbol for symbol, spellings in _UNDERSTOOD.items() for spelling in spellings.split()
} | dict.fromkeys(_UNIT_WORDS, "international unit")

_APOTHECARY = (
    "grain grains drachm drachms dram drams scruple scruples minim minims "
    "oz ounce ounces floz pint pints gallon gallons "
    "tsp tbsp teaspoon teaspoons tablespoon tablespoons"
)

_POUNDS = ("lb", "lbs", "pound", "pounds")
_INCHES = ("inch", "inches", "foot", "feet", "ft")

REFUSED = {
    "u": "quantity.unit.u",
    "gr": "quantity.unit.gr",
    "cc": "quantity.unit.cc",
    "ccm": "quantity.unit.cc",
    "gamma": "quantity.unit.gamma",
    "\N{GREEK SMALL LETTER GAMMA}": "quantity.unit.gamma",
    "m": "quantity.unit.m",
    "fl oz": "quantity.unit.apothecary",
} | {
    **dict.fromkeys(_APOTHECARY.split(), "quantity.unit.apothecary"),
    **dict.fromkeys(_POUNDS, "quantity.unit.pound"),
    **dict.fromkeys(_INCHES, "quantity.unit.inch"),
}

# In these, capitals make the doubt.
REFUSED_AS_TYPED = {"Mg": "quantity.unit.capital_mg"}


def plain(text: str) -> str:
    """Return a typed unit without its case, outer spaces, doubled spaces or a final full stop."""
    return " ".join(text.casefold().split()).removesuffix(".").rstrip()
