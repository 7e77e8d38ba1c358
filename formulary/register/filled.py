"""What the containers of a preparation hold: what was filled, and before that what is ordered."""

from __future__ import annotations

from collections.abc import Sequence

from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount


def contents_said(ordered: str, filled: Sequence[Amount]) -> Message:
    """Return what the containers hold, together where they hold different amounts."""
    if not filled:
        return message("register.ordered", target=ordered)
    n, first = len(filled), filled[0]
    if set(filled) == {first}:
        return message("register.filled_alike", n=n, each=first)
    if len({units.dimension(each.unit) for each in filled}) > 1:
        return message("register.filled_apart", each=tuple(filled))
    together = first * 0
    for each in filled:
        together += each
    return message("register.filled", n=n, together=together)
