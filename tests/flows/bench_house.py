"""What trouble at the bench needs: other lots, one that ran out, a balance on a serial line."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from formulary.desk import Desk
from formulary.exchange.workstation_file import keep
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.stock.container import StockContainer
from formulary.stock.expiry import Expiry
from formulary.stock.lot import SupplyLot
from formulary.stock.numbers import container_number
from formulary.verbs.look_up_stock import container_numbered, lot_with
from formulary.workstation import BalanceHere, Workstation

MIDDLE_BENCH = "Precision balance, middle bench"


def container_like(desk: Desk, number: str, lot_number: str, days: int) -> str:
    """Return the number of a container of another lot like one, which lasts so many days more."""
    known = container_numbered(desk.store, number)
    lot = lot_with(desk.store, known.lot_id)
    with desk.writing("receive_lot") as writing:
        other: SupplyLot = writing.put(
            replace(
                lot,
                id=new_id(),
                number=lot_number,
                expiry=Expiry(desk.today + timedelta(days=days)),
                revision=0,
            )
        )
        numbered = container_number(writing.allot_containers(1))
        made: StockContainer = writing.put(
            replace(known, id=new_id(), number=numbered, lot_id=other.id, revision=0)
        )
    return made.number


def mark_high_alert(desk: Desk, name: str) -> None:
    """Let an ingredient ask for a witness."""
    kept = _ingredient(desk, name)
    with desk.writing("save_ingredient") as writing:
        writing.put(replace(kept, high_alert=True))


def mark_double_check(desk: Desk, name: str) -> None:
    """Let an ingredient ask for a second look."""
    kept = _ingredient(desk, name)
    with desk.writing("save_ingredient") as writing:
        writing.put(replace(kept, double_check=True))


def _ingredient(desk: Desk, name: str) -> Ingredient:
    return next(each for each in desk.store.every(Ingredient) if each.name == name)


def plug_in(port: Path) -> None:
    """Put the balance of the middle bench on a serial line here, before the window opens."""
    others = ("Analytical balance, window bench", "Bench balance, by the sink")
    here = (BalanceHere(MIDDLE_BENCH, str(port)), *map(BalanceHere, others))
    keep(Workstation(balances=here))
