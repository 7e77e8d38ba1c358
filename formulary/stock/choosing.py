"""Which container to take: the first to expire among those that may be used."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from formulary.finding import Finding, Severity
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density
from formulary.stock.container import StockContainer
from formulary.stock.matching import Wanted, mismatch
from formulary.stock.moves import held_as
from formulary.stock.shelf import Holding, turn, usable


@dataclass(frozen=True, slots=True)
class Take:
    """How much to take from a container; the last one takes what its book lacks, too."""

    holding: Holding
    amount: Amount


def in_order(holdings: Iterable[Holding], wanted: Wanted, today: date) -> tuple[Holding, ...]:
    """Return what may be taken, first to expire first.

    Of two with the same date the opened one comes first, then the one received earlier, then the
    lower number.
    """
    fit = (each for each in usable(holdings, today) if mismatch(each.lot, wanted) is None)
    return tuple(sorted(fit, key=turn))


def spread(
    ordered: Sequence[Holding], need: Amount, density: Density | None = None
) -> tuple[Take, ...]:
    """Return what to take from each container in turn until the need is met.

    Where the books together hold less, the last container is asked for the rest: the book is
    no reason not to look into it. So is one whose book doesn't compare with the need. Each lot's
    own factor is for whoever weighs to apply.
    """
    takes: list[Take] = []
    rest = need
    for holding in ordered:
        if rest.number <= 0:
            break
        held = held_as(holding.on_hand, need.unit, density)
        all_of_it = held is None or holding is ordered[-1] or held >= rest
        amount = rest if held is None or all_of_it else held
        if amount.number > 0:
            takes.append(Take(holding, amount))
            rest -= amount
    return tuple(takes)


def passed_over(chosen: StockContainer, ordered: Sequence[Holding]) -> tuple[Finding, ...]:
    """Return a finding where a container isn't the one whose turn it is."""
    if not ordered or ordered[0].container.id == chosen.id:
        return ()
    first, own = ordered[0], [each for each in ordered if each.container.id == chosen.id]
    if own and own[0].until == first.until:
        return ()
    said = message(
        "stock.finding.passed_over",
        chosen=chosen.number,
        first=first.container.number,
        end=first.until,
    )
    return (Finding(Severity.REASON, said, "container"),)


def ends_before(holding: Holding, use_by: date) -> tuple[Finding, ...]:
    """Return a finding where a container's date would shorten the preparation's."""
    if holding.until >= use_by:
        return ()
    said = message(
        "stock.finding.ends_before",
        container=holding.container.number,
        end=holding.until,
        use_by=use_by,
    )
    return (Finding(Severity.REASON, said, "container"),)
