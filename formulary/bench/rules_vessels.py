"""Main vessels: tare first, gross after a stage, and water for what evaporated."""

from __future__ import annotations

from dataclasses import replace

from formulary.bench.applying import Now, apply, at_work, refuse, require_nothing_over, require_text
from formulary.bench.events import VesselTared, VesselWeighed, WaterRestored
from formulary.bench.state import State, Vessel


@apply.register
def vessel_tared(event: VesselTared, now: Now) -> State:
    """A vessel's tare is on record before anything goes in, and then stands."""
    state = at_work(now)
    require_text(event.vessel, "vessel_rule.unnamed")
    if state.vessel(event.vessel) is not None:
        refuse("vessel_rule.tared_already", vessel=event.vessel)
    if event.tare.to("g").number <= 0:
        refuse("vessel_rule.no_tare", vessel=event.vessel)
    vessel = Vessel(event.vessel, event.tare, holds=event.holds, phase=event.phase)
    return replace(state, vessels=(*state.vessels, vessel))


@apply.register
def vessel_weighed(event: VesselWeighed, now: Now) -> State:
    """A gross weight is at least the tare."""
    state = at_work(now)
    vessel = tared_vessel(state, event.vessel)
    if event.gross < vessel.tare:
        refuse("vessel_rule.below_tare", vessel=event.vessel, gross=event.gross, tare=vessel.tare)
    return _with_vessel(state, replace(vessel, gross=(*vessel.gross, event.gross)))


@apply.register
def water_restored(event: WaterRestored, now: Now) -> State:
    """Water for what evaporated goes into a vessel whose tare is known."""
    state = at_work(now)
    require_nothing_over(state)
    vessel = tared_vessel(state, event.vessel)
    if event.amount.to("g").number <= 0:
        refuse("vessel_rule.no_water")
    return _with_vessel(state, replace(vessel, water=(*vessel.water, event.amount)))


def tared_vessel(state: State, name: str) -> Vessel:
    """Return a vessel; one without a tare on record takes nothing."""
    vessel = state.vessel(name)
    if vessel is None:
        refuse("vessel_rule.not_tared", vessel=name)
    return vessel


def _with_vessel(state: State, vessel: Vessel) -> State:
    vessels = tuple(vessel if each.name == vessel.name else each for each in state.vessels)
    return replace(state, vessels=vessels)
