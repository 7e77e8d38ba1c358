"""What of a vessel's content leaves it as vapour: water, something else that is volatile, or none.

Whether water alone can have evaporated is read off the names of the lines. A name that no table
knows counts as staying, so what is said of water stays a proposal to whoever stands beside.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum

from formulary.bench.events import (
    DropsAdded,
    Event,
    LineTransferred,
    LineWeighed,
    PhasesJoined,
    VesselWeighed,
    WaterRestored,
)
from formulary.bench.pouring import poured_together
from formulary.bench.state import State
from formulary.bench.vessel import VesselLedger, ledger_of, water_to_add
from formulary.errors import Refusal
from formulary.messages import Message, message
from formulary.quantity.amount import Amount
from formulary.review.substances import groups_of
from formulary.scaling.plan import Plan
from formulary.working import Working

PUT_IN = (LineWeighed, LineTransferred, DropsAdded, PhasesJoined, WaterRestored)
"""What may have changed a vessel's content."""


class Evaporates(StrEnum):
    """What a line gives off."""

    WATER = "water"
    OTHER = "something volatile"
    NOTHING = "nothing"


def evaporates(names: tuple[str, ...]) -> Evaporates:
    """Return what is given off by what these folded names mean (groups from memory)."""
    groups = groups_of(names)
    if groups & {"volatile", "flammable"}:
        return Evaporates.OTHER
    return Evaporates.WATER if groups & {"water", "watery base"} else Evaporates.NOTHING


def weighed_since(events: Iterable[Event], name: str) -> bool:
    """Tell whether a vessel was weighed after anything last went in or was poured together.

    An older gross says nothing of what is in it now.
    """
    fresh = False
    for event in events:
        if isinstance(event, VesselWeighed) and event.vessel == name:
            fresh = True
        elif isinstance(event, PUT_IN):
            fresh = False
    return fresh


def water_of(
    state: State, plan: Plan, name: str, lines: tuple[Evaporates, ...]
) -> tuple[VesselLedger, Working[Amount]]:
    """Return a weighed vessel's ledger, and the water that restores what went into it.

    ``lines`` say what each line gives off. Raises as :func:`formulary.bench.vessel.water_to_add`.
    """
    ledger = ledger_of(state, plan, name, poured_together(state, name))
    inside = {each.position for each in ledger.put_in}
    water = [at for at, each in enumerate(lines) if each is Evaporates.WATER]
    others = [at for at, each in enumerate(lines) if each is Evaporates.OTHER and at in inside]
    return ledger, water_to_add(ledger, water, only_water=not others)


def water_said(state: State, plan: Plan, name: str, lines: tuple[Evaporates, ...]) -> Message:
    """Return what a vessel's gross means: how much water restores it, or why none does."""
    try:
        ledger, found = water_of(state, plan, name, lines)
    except Refusal as refusal:
        return refusal.message
    if not found.result.number:
        return message("bench.vessel.nothing_lost", vessel=name)
    shows = (ledger.gross or ledger.tare) + found.result
    return message("bench.vessel.add_water", vessel=name, water=found.result, shows=shows)


def full_gross(state: State, plan: Plan, name: str) -> Message:
    """Return what a vessel shows where nothing has left it. Raises as ``ledger_of``."""
    ledger = ledger_of(state, plan, name, poured_together(state, name))
    return message(
        "bench.vessel.full_gross",
        vessel=name,
        gross=ledger.tare + ledger.expected,
        tare=ledger.tare,
        net=ledger.expected,
    )
