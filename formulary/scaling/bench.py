"""Every line brought to its instrument, or to an aliquot; those that give way come last."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.formula.content import Line
from formulary.house import House
from formulary.messages import message
from formulary.scaling.batch import Batch
from formulary.scaling.closing import closing_need
from formulary.scaling.instruments import ToMeasure, measured
from formulary.scaling.masses import mass_of_line
from formulary.scaling.required import Need
from formulary.scaling.too_small import Diluents, instead, is_too_small
from formulary.tolerance import tolerance_of


def at_the_bench(
    batch: Batch, wanted: Sequence[Need], house: House | None, instruments: Mapping[int, str]
) -> tuple[list[Need], list[ToMeasure]]:
    """Round every line on its instrument, the closing lines last so that they take the residue.

    ``instruments`` are those chosen, by a line's position. What is too small gets an aliquot, whose
    diluent comes from the line that gives it.
    """
    final = list(wanted)
    read: dict[int, ToMeasure] = {}
    diluents = Diluents(batch, wanted)
    for i in _in_order(batch, diluents.giver):
        if i in batch.whole.closing:
            final[i] = closing_need(batch, wanted, read, i)
        final[i] = _after_giving(final[i], i, diluents)
        line, chosen = batch.content.lines[i], instruments.get(i, "")
        read[i] = _measure(line, final[i], house, chosen)
        if house and is_too_small(read[i]) and i not in (*batch.whole.closing, diluents.giver):
            read[i] = _smaller(line, final[i], read[i], house, diluents)
    return final, [read[i] for i in range(len(wanted))]


def _in_order(batch: Batch, giver: int | None) -> list[int]:
    positions = range(len(batch.content.lines))
    return sorted(positions, key=lambda i: (i in batch.whole.closing, i == giver))


def _after_giving(need: Need, position: int, diluents: Diluents) -> Need:
    gave = diluents.taken.get(position)
    if need.amount is None or gave is None:
        return need
    left = diluents.left(position, need.amount)
    step = message("scaling.step.gives_diluent", diluent=gave, amount=left)
    return replace(need, amount=left, steps=(*need.steps, step))


def _measure(line: Line, need: Need, house: House | None, chosen: str) -> ToMeasure:
    if need.amount is None:
        return ToMeasure(None, "")
    if not need.amount.number:
        return ToMeasure(need.amount, "")
    tolerance = tolerance_of(line)
    if need.amount.unit == "international unit" and line.potency is not None:
        weighed = mass_of_line(line, need.amount)
        read = measured(weighed.result, house, tolerance, chosen)
        return replace(read, steps=(*weighed.steps, *read.steps))
    return measured(need.amount, house, tolerance, chosen)


def _smaller(
    line: Line, need: Need, read: ToMeasure, house: House, diluents: Diluents
) -> ToMeasure:
    """Return the aliquot in place of the reading, or the reading with why there is none."""
    amount = need.amount
    if amount is None:
        return read
    weighed = mass_of_line(line, amount) if line.potency and _is_activity(need) else None
    try:
        small = instead(line, weighed.result if weighed else amount, house, diluents)
    except Refusal as refusal:
        why = Finding(Severity.NOTE, refusal.message, "to_measure")
        return replace(read, findings=(*read.findings, why))
    if small.amount is None:
        return read
    if small.sub_plan is not None:
        diluents.give(small.sub_plan)
    return replace(small, steps=(*read.steps, *small.steps))


def _is_activity(need: Need) -> bool:
    return need.amount is not None and need.amount.unit == "international unit"
