"""What a lot cost, exactly, and what an amount of it is worth."""

from __future__ import annotations

from dataclasses import dataclass, replace

from formulary.errors import Refusal
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.quantity.money import Money
from formulary.working import Working


@dataclass(frozen=True, slots=True)
class UnitCost:
    """The purchase price of ``per``, without tax: 12.50 EUR for 100 g."""

    price: Money
    per: Amount

    def __post_init__(self) -> None:
        if self.per.number <= 0 or self.price.number < 0:
            raise Refusal(message("stock.cost.impossible", per=self.per))


def cost_of(amount: Amount, cost: UnitCost) -> Working[Money]:
    """Return what an amount is worth, unrounded. Raises UnitMismatch for mass against volume."""
    worth = replace(cost.price, number=cost.price.number * (amount / cost.per))
    step = message("stock.cost.step", price=cost.price, amount=amount, per=cost.per, worth=worth)
    return Working(worth, (step,))
