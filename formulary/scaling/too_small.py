"""A plan for what is under the least that the house can weigh or measure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from formulary.finding import Finding, Severity
from formulary.formula.content import Form, Line, Role
from formulary.formula.kinds import ToEndPoint
from formulary.house import House
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.units import Dimension
from formulary.quantity.writing import convenient
from formulary.scaling.batch import Batch
from formulary.scaling.dissolving import in_water
from formulary.scaling.instruments import ToMeasure, measured, rounding_findings
from formulary.scaling.masses import mass_of_line, volume_of_line
from formulary.scaling.required import Need, gives_way
from formulary.scaling.sub_plan import SubPlan, Way
from formulary.tolerance import tolerance_of
from formulary.working import Working

if TYPE_CHECKING:
    from formulary.calculations.stock_solution import AliquotPlan

UNDER_MINIMUM = "scaling.finding.under_minimum"
NOTHING = Amount(Fraction(0), "mL")
DILUENTS = (Role.FILLER, Role.BASE, Role.VEHICLE)
POWDERS = (Form.POWDER, Form.POWDERS, Form.CAPSULES)
LIQUIDS = (
    Form.LOTION,
    Form.EMULSION,
    Form.SOLUTION,
    Form.SPIRIT,
    Form.SYRUP,
    Form.SUSPENSION,
    Form.MOUTHWASH,
    Form.DROPS,
    Form.LINIMENT,
)


@dataclass
class Diluents:
    """Who gives the diluent: the line that gives way, else the only base, filler or vehicle.

    ``taken`` is what each giving line has given so far, ``poured`` the aliquots of stock solutions
    that go under a mark.
    """

    batch: Batch
    needs: Sequence[Need]
    taken: dict[int, Amount] = field(default_factory=dict)
    poured: Amount = NOTHING

    @property
    def giver(self) -> int | None:
        """Return the position of the line that gives, None where no line can."""
        first = next(iter(gives_way(self.batch)), None)
        if first is not None:
            return first if not self.needs[first].up_to else None
        lines = self.batch.content.lines
        able = [i for i, line in enumerate(lines) if line.role in DILUENTS]
        single = able[0] if len(able) == 1 else None
        if single is None or isinstance(lines[single].quantity, ToEndPoint):
            return None
        return single

    @property
    def name(self) -> str | None:
        """Return the line that the diluent is, None where any suitable one will do."""
        position = self.giver
        if position is None:
            position = next(iter(gives_way(self.batch)), None)
        return None if position is None else self.batch.content.lines[position].ingredient

    def said(self) -> Message:
        """Return what the diluent is."""
        if self.name is not None:
            return message("scaling.sub_plan.diluent.own", ingredient=self.name)
        powder = self.batch.content.form in POWDERS
        return message(f"scaling.sub_plan.diluent.{'lactose' if powder else 'suitable'}")

    def room(self, kind: Dimension) -> Amount | None:
        """Return what the giver has left, as a mass or a volume; None where there is no bound."""
        if self.giver is None:
            by_mark = self.batch.dimension == kind == Dimension.VOLUME
            return self._below_the_mark() if by_mark else None
        line, amount = self.batch.content.lines[self.giver], self.needs[self.giver].amount
        left = self.left(self.giver, amount) if amount else None
        if left is None:
            return None
        by_volume = kind == Dimension.VOLUME
        return (volume_of_line if by_volume else mass_of_line)(line, left).result

    def _below_the_mark(self) -> Amount:
        """Return what the liquids and aliquots so far leave of the whole."""
        kind = self.batch.dimension
        room = self.batch.make
        for need in self.needs:
            if need.amount and not need.up_to and units.dimension(need.amount.unit) == kind:
                room = room - need.amount
        return max(room - self.poured.to(room.unit), Amount(Fraction(0), room.unit))

    def left(self, position: int, amount: Amount) -> Amount:
        """Return what is left of a line's amount after what it gave; never less than nothing."""
        gave = self.taken.get(position)
        if gave is None:
            return amount
        line = self.batch.content.lines[position]
        by_volume = units.dimension(amount.unit) == Dimension.VOLUME
        same = (volume_of_line if by_volume else mass_of_line)(line, gave).result
        left = convenient(amount - same.to(amount.unit))
        return max(left, Amount(Fraction(0), left.unit))

    def give(self, plan: SubPlan) -> None:
        """Take a plan's diluent from the line that gives it."""
        if plan.way is Way.STOCK_SOLUTION:
            self.poured += plan.aliquot.to("mL")
        if plan.giver is None or plan.added is None:
            return
        before = self.taken.get(plan.giver)
        self.taken[plan.giver] = plan.added if before is None else before + plan.added


def is_too_small(read: ToMeasure) -> bool:
    """Tell whether the reading fails for being under what the house can do."""
    return any(each.said.key == UNDER_MINIMUM for each in read.findings)


def instead(line: Line, amount: Amount, house: House, diluents: Diluents) -> ToMeasure:
    """Return the aliquot to measure in place of an amount that is too small.

    Raises :class:`formulary.errors.Refusal` with a sentence where no plan serves.
    """
    batch = diluents.batch
    if batch.dimension == Dimension.VOLUME:
        return _dissolved(line, amount, house, diluents)
    if units.dimension(amount.unit) == Dimension.MASS:
        return _read(line, amount, _mixture(line, amount, house, diluents))
    return _by_mass(line, amount, house, diluents)


def _by_mass(line: Line, volume: Amount, house: House, diluents: Diluents) -> ToMeasure:
    """Weigh a small volume, itself or in a dilution, since masses add up here."""
    mass = mass_of_line(line, volume)
    read = measured(mass.result, house, tolerance_of(line))
    if read.amount is None:
        read = _read(line, mass.result, _mixture(line, mass.result, house, diluents))
    return ToMeasure(
        read.amount, read.instrument, (*mass.steps, *read.steps), read.findings, read.sub_plan
    )


def _mixture(line: Line, needed: Amount, house: House, diluents: Diluents) -> SubPlan:
    # The planner is loaded only where something is too small.
    from formulary.calculations.trituration import trituration_plan

    room = diluents.room(Dimension.MASS)
    most = None if room is None else convenient(room.to("g") + needed.to("g"))
    found = trituration_plan(needed, house.balances, most_aliquot=most)
    plan = found.result
    liquid = diluents.batch.content.form in LIQUIDS
    steps = tuple(map(_wetly, found.steps)) if liquid else found.steps
    return SubPlan(
        way=Way.DILUTION if liquid else Way.TRITURATION,
        steps=(_opening(line, diluents), *steps),
        aliquot=plan.aliquot.amount,
        instrument=plan.aliquot.on,
        contains=plan.contains,
        diluent=diluents.said(),
        giver=diluents.giver,
        added=convenient(plan.aliquot.amount.to("g") - plan.contains.to("g")),
        taken=plan.mixings[0].taken.amount,
        made_with=_in_all([each.diluent.amount for each in plan.mixings]),
    )


def _in_all(amounts: Sequence[Amount]) -> Amount:
    total = amounts[0].to("g")
    for each in amounts[1:]:
        total += each.to("g")
    return convenient(total)


def _wetly(step: Message) -> Message:
    """Return a step of a trituration as it is said of liquids, which aren't rubbed by doubling."""
    if not step.key.endswith("step.diluent"):
        return step
    return Message("scaling.sub_plan.dilute", step.parameters)


def _opening(line: Line, diluents: Diluents) -> Message:
    diluent = diluents.said()
    return message("scaling.sub_plan.opening", ingredient=line.ingredient, diluent=diluent)


def _dissolved(line: Line, needed: Amount, house: House, diluents: Diluents) -> ToMeasure:
    """Plan a stock solution no stronger than dissolves, as far as that is on file."""
    from formulary.calculations.stock_solution import aliquot_plan

    known = in_water(line.ingredient, diluents.name)
    found = aliquot_plan(
        needed,
        house.balances,
        house.measures,
        solubility=known.volume_per_gram,
        most_aliquot=diluents.room(Dimension.VOLUME),
    )
    read = _read(line, needed, _solution(line, found, diluents))
    strength = found.result.strength
    if strength is None:
        return read
    dissolving = known.finding(line.ingredient, diluents.said(), strength)
    return replace(read, findings=(*read.findings, dissolving))


def _solution(line: Line, found: Working[AliquotPlan], diluents: Diluents) -> SubPlan:
    plan = found.result
    added = None
    if diluents.giver is not None:
        own = volume_of_line(line, plan.contains).result
        added = convenient(plan.aliquot.amount.to("mL") - own)
    return SubPlan(
        way=Way.STOCK_SOLUTION,
        steps=(_opening(line, diluents), *found.steps),
        aliquot=plan.aliquot.amount,
        instrument=plan.aliquot.on,
        contains=plan.contains,
        diluent=diluents.said(),
        giver=diluents.giver,
        added=added,
        taken=plan.drug.amount,
        made_with=plan.stock.amount,
    )


def _read(line: Line, needed: Amount, plan: SubPlan) -> ToMeasure:
    off = rounding_findings(needed, plan.contains, tolerance_of(line))
    taken = message(
        "scaling.sub_plan.aliquot",
        ingredient=line.ingredient,
        way=message(f"scaling.sub_plan.way.{plan.way.name.lower()}"),
        aliquot=plan.aliquot,
        contains=plan.contains,
        instrument=plan.instrument,
    )
    steps = (*plan.steps, taken)
    findings = (_needs_a_reason(needed, plan), *off)
    return ToMeasure(plan.aliquot, plan.instrument, steps, findings, plan)


def _needs_a_reason(needed: Amount, plan: SubPlan) -> Finding:
    said: dict[str, Amount | Message] = {
        "required": needed,
        "aliquot": plan.aliquot,
        "way": message(f"scaling.sub_plan.way.{plan.way.name.lower()}"),
        "diluent": plan.diluent,
    }
    if plan.giver is None and plan.added is not None:
        said["added"] = plan.added
        return _reason(message("scaling.finding.by_aliquot_adding", **said))
    return _reason(message("scaling.finding.by_aliquot", **said))


def _reason(said: Message) -> Finding:
    return Finding(Severity.REASON, said, "to_measure")
