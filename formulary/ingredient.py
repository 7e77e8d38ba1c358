"""An ingredient's master data: names, form, density, what it is taken for, how it is handled."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from formulary.formula.content import Route, Storage
from formulary.monograph import NOT_LISTED, NOTHING_KNOWN, Handling, Monograph
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.density import Density
from formulary.stock.lot import LotStrength, Source


class Matter(StrEnum):
    """How the ingredient comes."""

    POWDER = "powder"
    CRYSTALS = "crystals"
    SEMISOLID = "semisolid"
    LIQUID = "liquid"
    WAX = "wax"
    GAS = "gas"


@dataclass(frozen=True, slots=True)
class UsualRange:
    """The strengths in which an active is usual here: both ends in one unit, and who says so.

    In per cent, or in the amount of one dose unit; without a ``route`` for every route.
    """

    lowest: Concentration | Amount
    highest: Concentration | Amount
    source: str
    route: Route | None = None


@dataclass(frozen=True, slots=True)
class DoseLimit:
    """The most of an active in a day that the house enters, with who says so.

    With ``per_kg`` for each kg of the patient. Ages are in completed years, both counted; without
    them it holds for every age.
    """

    highest: Amount
    per_kg: bool = False
    from_years: int | None = None
    to_years: int | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class Ingredient:
    """A substance or base on the shelf, under the name that formulas use.

    ``factor_range`` is the house's own: between which ends the correction factors of its lots lie.
    A ``high_alert`` one needs a witness for a typed weight; with ``double_check`` another person
    looks at container and figure afresh. Of a ``controlled`` one every change of the book has two
    signatures, and nothing is weighed that the book doesn't hold. ``source`` and ``strength`` are
    those that a formula which names it means; no other kind or strength stands in for them.
    ``look_alikes`` are names of others that it is taken for; ``hazards`` and ``allergens`` go on to
    each lot that is received. ``usual`` is the house's own usual range of its strength, against
    which the review holds a formula; ``doses`` are its own largest ones in a day, against which the
    check of an order holds the directions.
    """

    id: str
    name: str
    latin: str = ""
    synonyms: tuple[str, ...] = ()
    matter: Matter = Matter.POWDER
    density: Density | None = None
    drop: Amount | None = None
    potency: Fraction | None = None
    warnings: tuple[str, ...] = ()
    note: str = ""
    factor_range: tuple[Fraction, Fraction] | None = None
    high_alert: bool = False
    double_check: bool = False
    source: Source = Source.SUBSTANCE
    strength: LotStrength | None = None
    controlled: bool = False
    hazards: tuple[str, ...] = ()
    allergens: tuple[str, ...] = ()
    look_alikes: tuple[str, ...] = ()
    storage: Storage | None = None
    handling: Handling = NOT_LISTED
    monograph: Monograph = NOTHING_KNOWN
    usual: UsualRange | None = None
    doses: tuple[DoseLimit, ...] = ()
    revision: int = 0
