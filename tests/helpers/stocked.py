"""Stock with defaults, as a small invented pharmacy would receive it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

from formulary.desk import Desk
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.preparation import Preparation
from formulary.quantity.amount import Amount
from formulary.stock.container import StockContainer
from formulary.stock.expiry import Expiry
from formulary.stock.lot import Source, SupplyLot
from formulary.stock.moves import Cause, StockMove
from formulary.store import Store
from formulary.verbs.attach_certificate import attach_certificate
from formulary.verbs.decide_lot import accept_lot
from formulary.verbs.identify_container import identify_container
from formulary.verbs.receive_lot import Received, receive_lot
from formulary.verbs.two_people import Signing
from tests.helpers.desks import ADA, BEN, PIN, at
from tests.helpers.kept import ACT, a_content, a_preparation, keep_formula

ZINC = Ingredient("i-zinc", "Zinc oxide")
PDF = b"%PDF-1.7 an invented certificate"


def grams(number: Fraction | int) -> Amount:
    """Return an amount in grams."""
    return Amount(Fraction(number), "g")


def a_lot(number: str = "ZN-4711", lot_id: str = "lot-1", **changes: object) -> SupplyLot:
    """Return a lot of zinc oxide as it is received."""
    lot = SupplyLot(
        id=lot_id,
        ingredient_id=ZINC.id,
        number=number,
        source=Source.SUBSTANCE,
        received_on=date(2026, 3, 2),
        expiry=Expiry(date(2027, 3, 31)),
        supplier="Tidewater Fine Chemicals",
        maker="Norrland Oxides",
        grade="Ph. Eur.",
        place="Shelf 3",
    )
    return replace(lot, **changes)  # type: ignore[arg-type]  # fields by name


def keep_zinc(store: Store) -> None:
    """Put the ingredient there, if it isn't yet."""
    if store.get(Ingredient, ZINC.id) is None:
        with store.writing(ACT, "keep") as writing:
            writing.put(ZINC)


def received(desk: Desk, lot: SupplyLot | None = None, sizes: tuple[int, ...] = (500,)) -> Received:
    """Receive a lot of zinc oxide; Ben stands by where it is a controlled substance."""
    keep_zinc(desk.store)
    new = lot or a_lot()
    unit = "piece" if new.source is Source.UNITS else "g"
    full = [Amount(Fraction(each), unit) for each in sizes]
    return receive_lot(desk, new, full, signing=Signing(PIN, BEN.id, PIN))


def ready(
    desk: Desk, lot: SupplyLot | None = None, sizes: tuple[int, ...] = (500,)
) -> tuple[SupplyLot, tuple[StockContainer, ...]]:
    """Receive a lot, accept it and identify each of its containers."""
    came = received(desk, lot, sizes)
    attach_certificate(desk, came.lot.id, "zn-4711.pdf", PDF)
    accepted = accept_lot(at(desk, ADA), came.lot.id, PIN)
    containers = tuple(
        identify_container(desk, each.id, PIN, "melting point", passed=True)
        for each in came.containers
    )
    return accepted, containers


def weigh(
    desk: Desk, container: StockContainer, amount: Amount, lot: str = "K26-00001"
) -> StockMove:
    """Book what was weighed for a preparation, as the bench does."""
    move = StockMove(
        new_id(),
        container.id,
        amount * -1,
        Cause.WEIGHED,
        desk.act().at,
        desk.person.id,
        desk.person.name,
        preparation_lot=lot,
    )
    with desk.store.writing(desk.act(), "weigh") as writing:
        return writing.put(move)


def made(
    desk: Desk, record_id: str = "m-1", lot: str = "K26-00001", patient: str = ""
) -> Preparation:
    """Keep a preparation of two jars, for a patient by id if one is given."""
    if not desk.store.versions("f-1"):
        keep_formula(desk.store, a_content())
    with desk.store.writing(desk.act(), "start") as writing:
        return writing.put(replace(a_preparation(record_id, lot), patient_id=patient))
