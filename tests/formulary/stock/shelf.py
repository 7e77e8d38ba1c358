"""Small lots, containers and moves for the tests of stock; all of it invented."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from fractions import Fraction

from formulary.catalogue import Catalogue
from formulary.errors import FormularyError
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.signing import Meaning, Signature
from formulary.stock.container import IdentityCheck, StockContainer
from formulary.stock.expiry import Expiry
from formulary.stock.lot import Attachment, Source, Status, SupplyLot
from formulary.stock.matching import Wanted
from formulary.stock.moves import Cause, StockMove
from formulary.stock.numbers import container_number
from formulary.stock.shelf import Holding

TODAY = date(2026, 5, 4)
NOW = datetime(2026, 5, 4, 9, 30, tzinfo=UTC)
ZINC = Wanted("zinc oxide", Source.SUBSTANCE)


def signed(meaning: Meaning, person: str = "ana", at: datetime = NOW) -> Signature:
    return Signature(person, person.title(), "pharmacist", meaning, at)


QUARANTINED = SupplyLot(
    id="lot-1",
    ingredient_id="zinc oxide",
    number="ZN-4711",
    source=Source.SUBSTANCE,
    received_on=date(2026, 1, 12),
    expiry=Expiry(date(2027, 3, 31)),
    attachment=Attachment("zn-4711.pdf", "0" * 64, "application/pdf"),
)
ACCEPTED = replace(QUARANTINED, status=Status.ACCEPTED, decision=signed(Meaning.ACCEPTED))
IDENTIFIED = IdentityCheck("melting point", passed=True, signature=signed(Meaning.IDENTIFIED))
FAILED = IdentityCheck("melting point", passed=False, signature=signed(Meaning.IDENTIFIED))


def grams(number: Fraction | int) -> Amount:
    return Amount(Fraction(number), "g")


def container(number: int = 1, **changes: object) -> StockContainer:
    jar = StockContainer(
        id=f"jar-{number}",
        number=container_number(number),
        lot_id="lot-1",
        size=grams(500),
        identity=IDENTIFIED,
    )
    return replace(jar, **changes)  # type: ignore[arg-type]  # the names are the record's


def holding(number: int, ends: date, *, opened_on: date | None = None, held: int = 100) -> Holding:
    lot = replace(ACCEPTED, id=f"lot-{number}", expiry=Expiry(ends))
    jar = container(number, lot_id=lot.id, opened_on=opened_on)
    return Holding(jar, lot, grams(held))


def move(
    amount: Amount, cause: Cause = Cause.WEIGHED, reason: str = "", **changes: object
) -> StockMove:
    made = StockMove("move", "jar-1", amount, cause, NOW, "ben", "Ben", reason)
    return replace(made, **changes)  # type: ignore[arg-type]  # the names are the record's


def numbers(holdings: Sequence[Holding]) -> list[str]:
    return [each.container.id for each in holdings]


def text(said: Message | FormularyError | None) -> str:
    """Return the sentence that a person reads, with plain spaces; an unknown key fails the test."""
    if said is None:
        return ""
    written = Catalogue().text(said.message if isinstance(said, FormularyError) else said)
    return written.replace("\N{NO-BREAK SPACE}", " ")
