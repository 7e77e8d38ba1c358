"""What belongs to one workstation: its bench, the balances that stand there, its printer and roll.

It isn't the house's: a serial port and a print queue are names that one computer gives, so each
computer keeps its own, whichever formulary is open. A house only says which balances there are.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from formulary.house import Balance, House


@dataclass(frozen=True, slots=True)
class BalanceHere:
    """A balance that stands here, by its name in the house, with its serial line where it has one.

    The ``speed`` is empty for 9600 8N1, the ``pattern`` of its lines where it is the usual one.
    """

    name: str
    port: str = ""
    speed: str = ""
    pattern: str = ""


@dataclass(frozen=True, slots=True)
class Workstation:
    """What a workstation has; what is empty is left to the computer and the house.

    Without ``balances`` every one of the house stands here, read by hand. ``printer`` and ``stock``
    are those of labels for medicines, ``shelf_printer`` and ``shelf_stock`` those of labels for
    containers of stock.
    """

    bench: str = ""
    balances: tuple[BalanceHere, ...] = ()
    printer: str = ""
    stock: str = ""
    shelf_printer: str = ""
    shelf_stock: str = ""


def at_first(house: House) -> Workstation:
    """Return the profile of a workstation that has none: with the lines that the house once kept.

    A house written before workstations had profiles may have its balances' lines on file.
    """
    if not any(each.port for each in house.balances):
        return Workstation()
    kept = (BalanceHere(e.name, e.port, e.speed, e.pattern) for e in house.balances)
    return Workstation(balances=tuple(kept))


def house_at(here: Workstation, house: House) -> House:
    """Return the house as it is at a workstation: its balances are those that stand there."""
    found = tuple(_standing(here, house))
    if found:
        return replace(house, balances=found)
    by_hand = (replace(each, port="", speed="", pattern="") for each in house.balances)
    return replace(house, balances=tuple(by_hand))


def _standing(here: Workstation, house: House) -> Iterator[Balance]:
    """Yield the balances here in the house's order; what another house calls so is passed over."""
    wired = {each.name: each for each in here.balances}
    for balance in house.balances:
        line = wired.get(balance.name)
        if line is not None:
            yield replace(balance, port=line.port, speed=line.speed, pattern=line.pattern)


def stands_in(here: Workstation, house: House, planned: str) -> bool:
    """Tell whether what a plan names can be used here: every measure can, and a balance here."""
    elsewhere = {each.name for each in house.balances}
    return planned not in elsewhere or planned in {e.name for e in house_at(here, house).balances}
