"""What books say of an ingredient, each under its source, and how a hazardous one is handled."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction

from formulary.errors import BadText
from formulary.messages import message
from formulary.stock.lot import Attachment

REVIEW_AFTER = timedelta(days=365)
"""A handling sheet is looked at again within a year (USP <800>, from memory)."""

_CAS = re.compile(r"(?P<digits>[0-9]{2,7}-[0-9]{2})-(?P<check>[0-9])")
_LEAST_PH, _MOST_PH = Fraction(0), Fraction(14)


@dataclass(frozen=True, slots=True)
class Monograph:
    """What is looked up of an ingredient.

    ``formula`` is that of the form kept, water of crystallisation after a dot (C6H8O7.H2O); a lot's
    assay without water is corrected by it. No sum is worked out from the rest.
    ``parent`` is the base, acid or anhydrous form and ``parent_factor`` what one part of it makes
    of this one. ``concentrations`` are the usual and ``doses`` the largest ones, a line each, with
    the route or population before them as the ``source`` has it. ``displacement`` is in grams of
    this for a gram of base.
    """

    cas: str = ""
    formula: str = ""
    molecular_mass: Fraction | None = None
    parent: str = ""
    parent_factor: Fraction | None = None
    melting: str = ""
    solubility: str = ""
    ph: tuple[Fraction, Fraction] | None = None
    concentrations: tuple[str, ...] = ()
    doses: tuple[str, ...] = ()
    displacement: Fraction | None = None
    tariffs: tuple[str, ...] = ()
    source: str = ""


NOTHING_KNOWN = Monograph()


def require_sound(monograph: Monograph) -> None:
    """Raise :class:`formulary.errors.BadText`, with its field, for what can't be right.

    A figure without a source is nobody's; a CAS number proves itself by its check digit.
    """
    if monograph.cas and not is_cas(monograph.cas):
        raise BadText(message("ingredient.cas", typed=monograph.cas), field="cas")
    if monograph.formula:
        _require_formula(monograph.formula)
    if monograph.ph is not None and not _LEAST_PH <= monograph.ph[0] <= monograph.ph[1] <= _MOST_PH:
        raise BadText(message("ingredient.ph"), field="ph")
    # Tariff codes are the house's or its insurers' own; number and formula say which it is.
    sourced = replace(monograph, tariffs=(), cas="", formula="", source="")
    if sourced != NOTHING_KNOWN and not monograph.source.strip():
        raise BadText(message("ingredient.source_needed"), field="source_of_facts")


def _require_formula(formula: str) -> None:
    from formulary.calculating.chemistry import molar_mass

    try:
        molar_mass(formula)
    except BadText as wrong:
        raise BadText(wrong.message, field="formula") from wrong


def is_cas(number: str) -> bool:
    """Tell whether a CAS Registry Number's check digit is right.

    It is the sum of the digits before it, each times its place from the right, modulo 10 (Chemical
    Abstracts Service, from memory).
    """
    found = _CAS.fullmatch(number)
    if found is None:
        return False
    digits = reversed(found["digits"].replace("-", ""))
    total = sum(place * int(digit) for place, digit in enumerate(digits, start=1))
    return total % 10 == int(found["check"])


@dataclass(frozen=True, slots=True)
class HazardListing:
    """Where a substance is listed as hazardous: the list, its edition, and the group in it."""

    name: str
    edition: str
    group: str = ""


@dataclass(frozen=True, slots=True)
class SafetySheet:
    """The safety data sheet as a file, and the day of its revision that stands on it."""

    file: Attachment
    revised_on: date


@dataclass(frozen=True, slots=True)
class Handling:
    """How a hazardous substance is handled here, on which ground, and when that was looked at."""

    listings: tuple[HazardListing, ...] = ()
    precautions: str = ""
    reviewed_on: date | None = None
    sheet: SafetySheet | None = None

    def is_due(self, today: date) -> bool:
        """Tell whether it is to be looked at again, or never was."""
        if not self.listings:
            return False
        return self.reviewed_on is None or today > self.reviewed_on + REVIEW_AFTER


NOT_LISTED = Handling()


def parse_listings(text: str) -> tuple[HazardListing, ...]:
    """Read a listing from each line: list; edition; group.

    Raises :class:`formulary.errors.BadText` for a list without its edition.
    """
    return tuple(_listing(line) for line in text.splitlines() if line.strip())


def _listing(line: str) -> HazardListing:
    name, edition, group = (part.strip() for part in (line + ";;").split(";")[:3])
    if not name or not edition:
        raise BadText(message("ingredient.listing", typed=line.strip()), field="listings")
    return HazardListing(name, edition, group)


def write_listing(listing: HazardListing) -> str:
    """Return a listing as it is typed."""
    return "; ".join(filter(None, (listing.name, listing.edition, listing.group)))


def require_handled(handling: Handling) -> None:
    """Raise :class:`formulary.errors.BadText` where nobody says how a listed one is handled."""
    if handling.listings and not handling.precautions.strip():
        raise BadText(message("ingredient.precautions_needed"), field="precautions")
