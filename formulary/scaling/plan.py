"""The whole of scaling: a version's content and a target become a plan for the bench."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from formulary.finding import Finding
from formulary.formula.content import Content, Line
from formulary.house import House, Pack
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.scaling.batch import Batch
from formulary.scaling.closing import closing_need
from formulary.scaling.instruments import ToMeasure, measured
from formulary.scaling.making import to_make
from formulary.scaling.masses import mass_of_line
from formulary.scaling.packs import fit
from formulary.scaling.required import Need, needs
from formulary.scaling.strengths import Strength, strengths
from formulary.scaling.sums import batch_findings, made, sum_findings
from formulary.scaling.target import Excess, Target
from formulary.scaling.whole import whole_as_written
from formulary.tolerance import Band, tolerance_of


@dataclass(frozen=True, slots=True)
class PlannedLine:
    """One ingredient's way to the bench.

    ``required`` is exact; ``to_measure`` is rounded to the readability of ``instrument``, or None
    where nothing on the house's list can do it. ``up_to`` marks a line made up to a volume.
    """

    line: Line
    required: Amount | None
    to_measure: Amount | None
    instrument: str
    up_to: bool
    band: Band | None
    working: tuple[Message, ...]
    findings: tuple[Finding, ...]


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


@dataclass(frozen=True, slots=True)
class Choices:
    """What the technician chose: the container, and an instrument by a line's position."""

    pack: Pack | None = None
    instruments: Mapping[int, str] = field(default_factory=dict)


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
    or an over-filled one, where a density is missing, or where the target makes no sense.
    """
    whole = whole_as_written(content)
    making = to_make(content, whole, target, excess)
    batch = Batch(content, whole, making.result)
    exact = needs(batch)
    final, read = _at_the_bench(batch, exact, house, choices)
    readings = [each.amount for each in read]
    total = made(batch, exact, readings)
    return Plan(
        target=target,
        excess=excess,
        to_make=batch.make,
        total=total,
        lines=tuple(map(_planned, content.lines, exact, final, read)),
        strengths=strengths(batch, exact, readings, total),
        working=making.steps,
        findings=(
            *sum_findings(batch, exact),
            *batch_findings(batch),
            *(fit(content, target.each, choices.pack) if choices.pack is not None else ()),
        ),
    )


def _at_the_bench(
    batch: Batch, exact: Sequence[Need], house: House | None, choices: Choices
) -> tuple[list[Need], list[ToMeasure]]:
    """Round every line on its instrument, the closing lines last so that they take the residue."""
    final = list(exact)
    read: dict[int, ToMeasure] = {}
    closing = batch.whole.closing
    for i in sorted(range(len(exact)), key=lambda position: position in closing):
        if i in closing:
            final[i] = closing_need(batch, exact, read, i)
        line, chosen = batch.content.lines[i], choices.instruments.get(i, "")
        read[i] = _measure(line, final[i], house, chosen)
    return final, [read[i] for i in range(len(exact))]


def _measure(line: Line, need: Need, house: House | None, chosen: str) -> ToMeasure:
    if need.amount is None:
        return ToMeasure(None, "")
    if not need.amount.number:
        return ToMeasure(need.amount, "")
    tolerance = tolerance_of(line)
    if need.amount.unit == "international unit" and line.potency is not None:
        weighed = mass_of_line(line, need.amount)
        read = measured(weighed.result, house, tolerance, chosen)
        return ToMeasure(read.amount, read.instrument, (*weighed.steps, *read.steps), read.findings)
    return measured(need.amount, house, tolerance, chosen)


def _planned(line: Line, exact: Need, final: Need, read: ToMeasure) -> PlannedLine:
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
        findings=read.findings,
    )
