"""The whole of scaling: a version's content and a target become a plan for the bench."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from formulary.finding import Finding
from formulary.formula.content import Content, Line
from formulary.house import House, Pack
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.scaling.closing import closing_need
from formulary.scaling.instruments import ToMeasure, measured
from formulary.scaling.making import to_make
from formulary.scaling.masses import mass_of_line
from formulary.scaling.packs import fit
from formulary.scaling.required import Need, needs
from formulary.scaling.strengths import Strength, strengths
from formulary.scaling.sums import batch_findings, made, sum_findings
from formulary.scaling.target import Excess, Target
from formulary.scaling.whole import Whole, whole_as_written
from formulary.tolerance import Band, default_percent


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
    make = making.result
    exact = needs(content, whole, make)
    final, read = _at_the_bench(content, whole, make, exact, house, choices)
    readings = [each.amount for each in read]
    total = made(content, make, exact, readings)
    return Plan(
        target=target,
        excess=excess,
        to_make=make,
        total=total,
        lines=tuple(map(_planned, content.lines, exact, final, read)),
        strengths=strengths(content, make, exact, readings, total),
        working=making.steps,
        findings=_findings(content, whole, target, make, exact, choices.pack),
    )


def _at_the_bench(
    content: Content,
    whole: Whole,
    make: Amount,
    exact: Sequence[Need],
    house: House | None,
    choices: Choices,
) -> tuple[list[Need], list[ToMeasure]]:
    """Round every line on its instrument, the closing lines last so that they take the residue."""
    final = list(exact)
    read: dict[int, ToMeasure] = {}
    order = sorted(range(len(exact)), key=lambda position: position in whole.closing)
    for i in order:
        if i in whole.closing:
            final[i] = closing_need(content, whole, make, exact, read, i)
        read[i] = _measure(content.lines[i], final[i], house, choices.instruments.get(i, ""))
    return final, [read[i] for i in range(len(exact))]


def _measure(line: Line, need: Need, house: House | None, chosen: str) -> ToMeasure:
    if need.amount is None:
        return ToMeasure(None, "")
    if not need.amount.number:
        return ToMeasure(need.amount, "")
    if need.amount.unit == "international unit" and line.potency is not None:
        weighed = mass_of_line(line, need.amount)
        read = measured(weighed.result, house, chosen)
        return ToMeasure(read.amount, read.instrument, (*weighed.steps, *read.steps), read.findings)
    return measured(need.amount, house, chosen)


def _planned(line: Line, exact: Need, final: Need, read: ToMeasure) -> PlannedLine:
    band = None
    if read.amount is not None and read.amount.number and not exact.up_to:
        percent = line.tolerance if line.tolerance is not None else default_percent(line.role)
        band = Band(read.amount, percent)
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


def _findings(
    content: Content,
    whole: Whole,
    target: Target,
    make: Amount,
    exact: Sequence[Need],
    pack: Pack | None,
) -> tuple[Finding, ...]:
    return (
        *sum_findings(content, whole, make, exact),
        *batch_findings(content, make),
        *(fit(content, target.each, pack) if pack is not None else ()),
    )


