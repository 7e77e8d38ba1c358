"""The whole of scaling: a version's content and a target become a plan for the bench."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING

from formulary.finding import Finding
from formulary.formula.content import Content, Line
from formulary.house import House, Pack
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.scaling.batch import Batch
from formulary.scaling.bench import at_the_bench
from formulary.scaling.instruments import ToMeasure
from formulary.scaling.lots import (
    Correction,
    corrected,
    corrections,
    lot_findings,
    with_potencies,
)
from formulary.scaling.making import SPARE_STEP, to_make
from formulary.scaling.packs import fit
from formulary.scaling.required import Need, needs
from formulary.scaling.strengths import Strength, strengths
from formulary.scaling.sub_plan import SubPlan
from formulary.scaling.sums import batch_findings, made, sum_findings
from formulary.scaling.target import Excess, Target
from formulary.scaling.whole import whole_as_written
from formulary.tolerance import Band, tolerance_of

if TYPE_CHECKING:
    from formulary.calculations.corrections import Certificate


@dataclass(frozen=True, slots=True)
class PlannedLine:
    """One ingredient's way to the bench.

    ``required`` is exact and as declared; ``to_measure`` is rounded to the readability of
    ``instrument``, or None where nothing on the house's list can do it. ``up_to`` marks a line made
    up to a volume. With a ``correction`` it is that amount which is measured; with a ``sub_plan``
    what is measured is the aliquot of a mixture.
    """

    line: Line
    required: Amount | None
    to_measure: Amount | None
    instrument: str
    up_to: bool
    band: Band | None
    working: tuple[Message, ...]
    findings: tuple[Finding, ...]
    correction: Correction | None = None
    sub_plan: SubPlan | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    """What to weigh and measure for a target, with the strengths it will truly have.

    ``to_make`` is the order with its excess, ``total`` what the rounded readings add up to.
    """

    target: Target
    excess: Excess
    to_make: Amount
    total: Amount
    lines: tuple[PlannedLine, ...]
    strengths: tuple[Strength, ...]
    working: tuple[Message, ...]
    findings: tuple[Finding, ...]

    @property
    def spare(self) -> Message | None:
        """The step that adds the spare units to those ordered, if there are any."""
        return next((each for each in self.working if each.key == SPARE_STEP), None)


@dataclass(frozen=True, slots=True)
class Choices:
    """What the technician chose: the container, and by a line's position an instrument or a lot.

    ``lots`` are the certificates of the lots at hand, ``potencies`` their international units in
    one mg, which win over the ingredient's.
    """

    pack: Pack | None = None
    instruments: Mapping[int, str] = field(default_factory=dict)
    lots: Mapping[int, Certificate] = field(default_factory=dict)
    potencies: Mapping[int, Fraction] = field(default_factory=dict)


NO_EXCESS = Excess()
NO_CHOICES = Choices()


def scale(
    content: Content,
    target: Target,
    excess: Excess = NO_EXCESS,
    house: House | None = None,
    choices: Choices = NO_CHOICES,
) -> Plan:
    """Return the plan that makes ``target`` of the formula.

    Raises :class:`formulary.errors.Refusal` with a sentence where the formula has no total, two,
    or an over-filled one, where a density is missing, where the target makes no sense, or where a
    lot's figures don't suit its line.
    """
    content = with_potencies(content, choices.potencies)
    whole = whole_as_written(content)
    making = to_make(content, whole, target, excess)
    batch = Batch(content, whole, making.result)
    exact = needs(batch)
    by_lot = corrections(batch, exact, choices.lots, choices.potencies, house)
    wanted = corrected(batch, exact, by_lot)
    final, read = at_the_bench(batch, wanted, house, choices.instruments)
    total = made(batch, wanted, [each.amount for each in read])
    return Plan(
        target=target,
        excess=excess,
        to_make=batch.make,
        total=total,
        lines=tuple(
            _planned(line, exact[i], final[i], read[i], by_lot.get(i))
            for i, line in enumerate(content.lines)
        ),
        strengths=strengths(
            batch, exact, [each.amount for each in wanted], [each.holds for each in read], total
        ),
        working=making.steps,
        findings=(
            *sum_findings(batch, wanted if whole.closing else exact),
            *lot_findings(batch, exact, wanted),
            *batch_findings(batch),
            *(fit(content, target.each, choices.pack) if choices.pack is not None else ()),
        ),
    )


def _planned(
    line: Line, exact: Need, final: Need, read: ToMeasure, correction: Correction | None
) -> PlannedLine:
    band = None
    if read.amount is not None and read.amount.number and not exact.up_to:
        band = Band(read.amount, tolerance_of(line))
    return PlannedLine(
        line=line,
        required=exact.amount,
        to_measure=read.amount,
        instrument=read.instrument,
        up_to=exact.up_to,
        band=band,
        working=(*final.steps, *read.steps),
        findings=(*read.findings, *(correction.findings if correction else ())),
        correction=correction,
        sub_plan=read.sub_plan,
    )
