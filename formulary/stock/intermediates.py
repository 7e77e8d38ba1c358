"""Triturations, dilutions and bases made here: a released preparation that becomes a lot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from formulary.errors import Refusal
from formulary.formula.content import Period
from formulary.messages import message
from formulary.preparation import Preparation
from formulary.quantity.amount import Concentration, OneIn
from formulary.signing import Meaning, Signature
from formulary.stock.container import StockContainer
from formulary.stock.expiry import Expiry
from formulary.stock.lot import NOTHING_STATED, Analysis, Source, Status, SupplyLot
from formulary.stock.receiving import containers_of


@dataclass(frozen=True, slots=True)
class MadeHere:
    """What the record of a preparation adds to make it a lot of stock.

    ``last_days`` are those of all that went into it; ``analysis`` its found strength as an assay
    in per cent of the nominal one, if it was measured.
    """

    ingredient_id: str
    strength: Concentration | OneIn | None
    release: Signature
    last_days: tuple[date, ...]
    maker: str
    analysis: Analysis = NOTHING_STATED
    hazards: tuple[str, ...] = ()
    allergens: tuple[str, ...] = ()
    place: str = ""


def as_lot(lot_id: str, preparation: Preparation, made: MadeHere) -> SupplyLot:
    """Return the lot that a released preparation becomes, accepted by its release.

    It lasts no longer than its own date or that of anything in it.
    """
    if made.release.meaning is not Meaning.RELEASED:
        raise Refusal(message("stock.intermediate.not_released", lot=preparation.lot))
    return SupplyLot(
        id=lot_id,
        ingredient_id=made.ingredient_id,
        number=preparation.lot,
        source=Source.INTERMEDIATE,
        received_on=preparation.made_on,
        expiry=Expiry(min((preparation.use_by, *made.last_days))),
        maker=made.maker,
        strength=made.strength,
        status=Status.ACCEPTED,
        analysis=made.analysis,
        place=made.place,
        hazards=made.hazards,
        allergens=made.allergens,
        decision=made.release,
        made_as=preparation.id,
    )


def as_containers(
    lot: SupplyLot,
    preparation: Preparation,
    ids: Sequence[str],
    first_number: int,
    in_use: Period | None = None,
) -> tuple[StockContainer, ...]:
    """Return the preparation's containers as containers of stock, numbered from the first."""
    sizes = (preparation.fill,) * preparation.containers
    return containers_of(lot, sizes, ids, first_number, in_use)
