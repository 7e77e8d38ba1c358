"""What stands in for a weighing too small for the house: a part of something larger."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from formulary.messages import Message
from formulary.quantity.amount import Amount


class Way(StrEnum):
    """How the larger thing is made: by mass with powder or base, by mass with liquid, by volume."""

    TRITURATION = "trituration"
    DILUTION = "dilution"
    STOCK_SOLUTION = "stock solution"


@dataclass(frozen=True, slots=True)
class SubPlan:
    """A mixture made beside the preparation, of which an aliquot goes in.

    ``aliquot`` is read on ``instrument`` and ``contains`` so much of the substance; the rest of it
    is diluent. ``taken`` is what is weighed of the substance for all of the mixture, ``made_with``
    the diluent in all, or the volume that it is made up to; plans of before say neither. ``giver``
    is the position of the line that the diluent is taken from, None where nothing gives way:
    ``added`` is then what comes to the total, otherwise what the line gives.
    """

    way: Way
    steps: tuple[Message, ...]
    aliquot: Amount
    instrument: str
    contains: Amount
    diluent: Message
    giver: int | None = None
    added: Amount | None = None
    taken: Amount | None = None
    made_with: Amount | None = None
