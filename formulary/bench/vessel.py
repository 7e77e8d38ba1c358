"""The vessel ledger: what went into a main vessel, what it weighs now, and what evaporated."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from formulary.bench.state import State
from formulary.bench.weighing import weighed
from formulary.calculations.evaporation import water_to_restore
from formulary.errors import NotFound, Refusal
from formulary.messages import Message, message
from formulary.quantity.amount import Amount
from formulary.scaling.masses import mass_of_line
from formulary.scaling.plan import Plan
from formulary.working import Working

NOTHING = Amount(Fraction(0), "g")


@dataclass(frozen=True, slots=True)
class PutIn:
    """One line's mass in a vessel, and its position."""

    position: int
    ingredient: str
    mass: Amount


@dataclass(frozen=True, slots=True)
class VesselLedger:
    """A main vessel: ``tare`` with rod and stirrer in it, and ``gross`` by its last weighing.

    ``water`` was added for what had evaporated; after adding it the vessel is weighed again.
    """

    name: str
    tare: Amount
    put_in: tuple[PutIn, ...]
    water: Amount = NOTHING
    gross: Amount | None = None

    @property
    def expected(self) -> Amount:
        """Return the mass of all lines in it, as they were weighed."""
        total = NOTHING
        for each in self.put_in:
            total += each.mass
        return total

    @property
    def net(self) -> Amount:
        """Return what is in it. Refused before it was weighed with its content."""
        return _gross(self) - self.tare

    def mass_of(self, positions: Iterable[int]) -> Amount:
        """Return the mass of some of its lines together."""
        wanted, total = frozenset(positions), NOTHING
        for each in self.put_in:
            total += each.mass if each.position in wanted else NOTHING
        return total


def ledger_of(state: State, plan: Plan, name: str, poured_in: Iterable[str] = ()) -> VesselLedger:
    """Return the ledger of a tared vessel; ``poured_in`` are others that were emptied into it.

    Raises :class:`formulary.errors.NotFound` for a vessel without a tare, and
    :class:`formulary.errors.Refusal` for a volume whose density is missing.
    """
    vessel = state.vessel(name)
    if vessel is None:
        raise NotFound(message("bench.vessel.tare_missing", vessel=name))
    names = {name, *poured_in}
    water = NOTHING
    for each in state.vessels:
        for added in each.water if each.name in names else ():
            water += added
    gross = vessel.gross[-1] if vessel.gross else None
    return VesselLedger(name, vessel.tare, tuple(_lines(state, plan, names)), water, gross)


def _lines(state: State, plan: Plan, names: set[str]) -> Iterable[PutIn]:
    for line, planned in zip(state.lines, plan.lines, strict=True):
        amount = weighed(line)
        if line.vessel in names and amount is not None:
            mass = mass_of_line(planned.line, amount).result
            yield PutIn(line.position, line.ingredient, mass)


def lost(ledger: VesselLedger) -> Working[Amount]:
    """Return what has left the vessel; negative where it weighs more than went in."""
    expected = ledger.expected + ledger.water
    left = expected - ledger.net
    step = message("bench.vessel.step.lost", expected=expected, net=ledger.net, lost=left)
    return Working(left, (_net_step(ledger), step))


def water_to_add(
    ledger: VesselLedger, water: Iterable[int], *, only_water: bool = True
) -> Working[Amount]:
    """Return the water that brings the vessel back to what its lines weighed.

    ``water`` are the positions of the lines that are water. Raises
    :class:`formulary.errors.Refusal` where something else could have evaporated too, where the
    vessel is too heavy, or where more is missing than it held of water.
    """
    held = ledger.mass_of(water)
    if not only_water or not held.number:
        raise Refusal(message("bench.vessel.not_only_water", vessel=ledger.name))
    found = water_to_restore(ledger.expected, ledger.net, held)
    shows = message("bench.vessel.step.shows", gross=_gross(ledger) + found.result)
    return Working(found.result, (_net_step(ledger), shows, *found.steps), found.source)


def residue(ledger: VesselLedger, emptied: Amount) -> Amount:
    """Return what the emptied vessel still holds, from its gross then."""
    if emptied < ledger.tare:
        raise Refusal(
            message(
                "bench.vessel.lighter_than_tare",
                vessel=ledger.name,
                gross=emptied,
                tare=ledger.tare,
            )
        )
    return emptied - ledger.tare


def _net_step(ledger: VesselLedger) -> Message:
    return message(
        "bench.vessel.step.net",
        vessel=ledger.name,
        gross=_gross(ledger),
        tare=ledger.tare,
        net=ledger.net,
    )


def _gross(ledger: VesselLedger) -> Amount:
    if ledger.gross is None:
        raise Refusal(message("bench.vessel.gross_missing", vessel=ledger.name))
    return ledger.gross
