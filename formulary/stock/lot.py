"""A supplier's lot: what it is, how strong, how long it lasts, and whether it may be used."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING, TypeAlias

from formulary.errors import Refusal
from formulary.messages import message
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.signing import Signature
from formulary.stock.cost import UnitCost
from formulary.stock.expiry import Expiry

if TYPE_CHECKING:
    from formulary.calculations.corrections import Certificate

LotStrength: TypeAlias = Concentration | OneIn | Amount
"""Of a concentrate, or what one tablet or capsule holds."""


class Source(StrEnum):
    """What kind of thing a lot is; one never stands in for another."""

    SUBSTANCE = "substance"
    CONCENTRATE = "concentrate"
    UNITS = "tablet or capsule"
    BASE = "base"
    INTERMEDIATE = "intermediate"


class Status(StrEnum):
    """How far a lot has come from the delivery to the bench."""

    QUARANTINE = "quarantine"
    ACCEPTED = "accepted"
    REJECTED = "rejected"


class Halt(StrEnum):
    """Why a lot is kept from use whatever its status."""

    FROZEN = "frozen"
    RECALLED = "recalled"


@dataclass(frozen=True, slots=True)
class Stop:
    """Use of a lot stopped, by whom and why; lifted again it falls back to its status."""

    halt: Halt
    reason: str
    signature: Signature


@dataclass(frozen=True, slots=True)
class Attachment:
    """A certificate's file: its name as it came, its SHA-256 in hexadecimal and media type."""

    name: str
    sha256: str
    media_type: str


class AssayBasis(StrEnum):
    """What a certificate refers its assay to, as in :mod:`formulary.calculations.corrections`.

    That module loads all that calculates; a list of lots needs none of it.
    """

    AS_IS = "as is"
    DRIED = "dried"
    ANHYDROUS = "anhydrous"


@dataclass(frozen=True, slots=True)
class Analysis:
    """The figures of a certificate that change a weighing, in per cent; unstated ones are None.

    ``potency`` is in international units per mg.
    """

    assay: Fraction | None = None
    basis: AssayBasis = AssayBasis.AS_IS
    water: Fraction | None = None
    loss_on_drying: Fraction | None = None
    potency: Fraction | None = None

    @property
    def loss(self) -> Fraction | None:
        """Return the loss that the assay's basis asks for, if it was stated."""
        if self.basis is AssayBasis.AS_IS:
            return Fraction(0)
        return self.water if self.basis is AssayBasis.ANHYDROUS else self.loss_on_drying


NOTHING_STATED = Analysis()


@dataclass(frozen=True, slots=True)
class Retest:
    """A test after which a lot got another date: the date it had, what was found, who decided."""

    before: Expiry
    result: str
    by: Signature


@dataclass(frozen=True, slots=True)
class SupplyLot:
    """One lot of one ingredient, from a supplier or made here.

    ``number`` is the lot number of its maker, ``made_as`` the preparation it was made as, if here.
    ``decision`` is the signature that accepted or rejected it. ``supplier_reason`` is why it came
    from a supplier that the house hasn't approved, ``retests`` are why its date isn't its maker's.

    Raises:
    :class:`formulary.errors.Refusal` for a strength that the kind of source can't have.
    """

    id: str
    ingredient_id: str
    number: str
    source: Source
    received_on: date
    expiry: Expiry
    supplier: str = ""
    maker: str = ""
    grade: str = ""
    strength: LotStrength | None = None
    status: Status = Status.QUARANTINE
    stop: Stop | None = None
    attachment: Attachment | None = None
    analysis: Analysis = NOTHING_STATED
    place: str = ""
    hazards: tuple[str, ...] = ()
    allergens: tuple[str, ...] = ()
    cost: UnitCost | None = None
    decision: Signature | None = None
    decision_reason: str = ""
    made_as: str = ""
    supplier_reason: str = ""
    retests: tuple[Retest, ...] = ()
    revision: int = 0

    def __post_init__(self) -> None:
        if not self.number.strip():
            raise Refusal(message("stock.lot.no_number"))
        require_strength(self.source, self.strength)


_STRENGTHS: dict[Source, tuple[type, ...]] = {
    Source.SUBSTANCE: (type(None),),
    Source.CONCENTRATE: (Concentration, OneIn),
    Source.UNITS: (Amount,),
    Source.BASE: (type(None),),
    Source.INTERMEDIATE: (type(None), Concentration, OneIn),
}


def require_strength(source: Source, strength: LotStrength | None) -> None:
    """Raise :class:`formulary.errors.Refusal` for a strength that such a source can't have."""
    if type(strength) not in _STRENGTHS[source]:
        said = message(f"stock.source.{source.value}")
        raise Refusal(message("stock.lot.strength", source=said))
    if _number_of(strength) <= 0:
        raise Refusal(message("stock.lot.no_strength"))


def _number_of(strength: LotStrength | None) -> Fraction:
    if strength is None:
        return Fraction(1)
    return strength.total if isinstance(strength, OneIn) else strength.number


def certificate_of(lot: SupplyLot, formula: str = "") -> Certificate | None:
    """Return the lot's figures as scaling corrects by them; None where no assay was stated.

    ``formula`` is the ingredient's chemical formula, which says how much water it holds itself.
    Raises :class:`formulary.errors.Refusal` where the assay's basis needs a loss that is missing.
    """
    from formulary.calculations.corrections import Basis, Certificate, water_by_formula

    analysis = lot.analysis
    if analysis.assay is None:
        return None
    if analysis.loss is None:
        raise Refusal(message("stock.lot.loss_missing", lot=lot.number))
    basis = Basis(analysis.basis.value)
    concentrate = lot.source in (Source.CONCENTRATE, Source.INTERMEDIATE)
    water = water_by_formula(formula)
    return Certificate(analysis.assay, basis, analysis.loss, water, concentrate=concentrate)
