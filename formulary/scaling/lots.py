"""What the lots at hand change: potency, and what is measured for an amount that is declared."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.formula.content import Content
from formulary.house import House
from formulary.messages import Message, message
from formulary.quantity.amount import Amount
from formulary.quantity.units import Dimension
from formulary.quantity.writing import convenient
from formulary.scaling.batch import Batch
from formulary.scaling.required import Need, complete, gives_way
from formulary.scaling.sums import mass_sum

if TYPE_CHECKING:
    from formulary.calculations.corrections import Certificate

ACTIVITY = "international unit"


@dataclass(frozen=True, slots=True)
class Correction:
    """What a lot makes of a declared amount: ``amount`` is what is measured for it."""

    factor: Fraction
    amount: Amount
    steps: tuple[Message, ...]
    findings: tuple[Finding, ...] = ()


def with_potencies(content: Content, potencies: Mapping[int, Fraction]) -> Content:
    """Return the content with the potency of the lot in place of the ingredient's usual one."""
    if not potencies:
        return content
    lines = tuple(
        replace(line, potency=potencies.get(i, line.potency))
        for i, line in enumerate(content.lines)
    )
    return replace(content, lines=lines)


def corrections(
    batch: Batch,
    exact: Sequence[Need],
    lots: Mapping[int, Certificate],
    potencies: Mapping[int, Fraction],
    house: House | None,
) -> dict[int, Correction]:
    """Return the correction of each line whose lot has a certificate.

    Raises :class:`formulary.errors.Refusal` for a line that has no amount to correct, and for a
    potency where nothing is in international units.
    """
    for position in potencies:
        _require_activity(batch, exact, position)
    return {
        position: _correction(batch, exact[position], position, _by_house(lot, house))
        for position, lot in lots.items()
    }


def _by_house(lot: Certificate, house: House | None) -> Certificate:
    return lot if house is None else replace(lot, threshold=Fraction(house.correction_threshold))


def _require_activity(batch: Batch, exact: Sequence[Need], position: int) -> None:
    amount = exact[position].amount
    if amount is None or amount.unit != ACTIVITY:
        raise _refuse("potency_of_no_units", batch, position)


def _refuse(key: str, batch: Batch, position: int) -> Refusal:
    ingredient = batch.content.lines[position].ingredient
    return Refusal(message(f"scaling.{key}", ingredient=ingredient))


def _correction(batch: Batch, need: Need, position: int, lot: Certificate) -> Correction:
    # The sums are loaded only where a lot asks for one.
    from formulary.calculations.corrections import (
        content,
        correction,
        doubts,
        in_usual_range,
        require_formula,
    )

    if need.amount is None or need.up_to or position in gives_way(batch):
        raise _refuse("nothing_to_correct", batch, position)
    if need.amount.unit == ACTIVITY:
        raise _refuse("units_take_potency", batch, position)
    if content(lot).result <= 0:
        raise _refuse("lot_holds_nothing", batch, position)
    require_formula(lot, [batch.content.lines[position].ingredient])
    found = correction(lot)
    amount = convenient(need.amount * found.result)
    if found.result == 1:
        return Correction(found.result, amount, found.steps, doubts(lot))
    usual = in_usual_range(found.result, batch.content.lines[position].factor_range)
    return Correction(
        found.result,
        amount,
        (*found.steps, usual.said, _step(need.amount, found.result)),
        (*doubts(lot), *((usual,) if usual.severity is not Severity.NOTE else ())),
    )


def _step(required: Amount, factor: Fraction) -> Message:
    amount = convenient(required * factor)
    return message("scaling.step.corrected", required=required, factor=factor, amount=amount)


def corrected(
    batch: Batch, exact: Sequence[Need], by_line: Mapping[int, Correction]
) -> tuple[Need, ...]:
    """Return what is measured of every line; the extra falls on the lines that give way.

    Raises :class:`formulary.errors.Refusal` where the corrected lines overfill the total.
    """
    if all(each.factor == 1 for each in by_line.values()):
        return tuple(
            replace(need, steps=(*need.steps, *by_line[i].steps)) if i in by_line else need
            for i, need in enumerate(exact)
        )
    giving = gives_way(batch)
    found: list[Need | None] = [
        None if i in giving else _measured(need, by_line.get(i)) for i, need in enumerate(exact)
    ]
    complete(batch, found)
    return tuple(
        _given_way(declared, need) if i in giving else need
        for i, (declared, need) in enumerate(zip(exact, found, strict=True))
        if need is not None
    )


def _measured(need: Need, correction: Correction | None) -> Need:
    if correction is None:
        return need
    return replace(need, amount=correction.amount, steps=(*need.steps, *correction.steps))


def _given_way(declared: Need, need: Need) -> Need:
    """Return the need of a line that gives way, with a step for what the corrections took."""
    if declared.amount is None or need.amount is None or need.amount == declared.amount:
        return declared
    extra = declared.amount - need.amount
    key = "taken_by_lots" if extra.number > 0 else "left_by_lots"
    extra = convenient(extra if extra.number > 0 else extra * -1)
    step = message(f"scaling.step.{key}", extra=extra, amount=need.amount)
    return replace(need, steps=(*declared.steps, step))


def lot_findings(
    batch: Batch, exact: Sequence[Need], measured: Sequence[Need]
) -> tuple[Finding, ...]:
    """Return what the corrections do to the total where nothing fills up and so gives way."""
    if gives_way(batch) or all(
        one.amount == other.amount for one, other in zip(exact, measured, strict=True)
    ):
        return ()
    if batch.dimension == Dimension.PIECES:
        said = message("scaling.finding.lots_change_units")
        return (Finding(Severity.NOTE, said, "lines"),)
    return (Finding(Severity.REASON, _change(batch, exact, measured), "lines"),)


def _change(batch: Batch, exact: Sequence[Need], measured: Sequence[Need]) -> Message:
    before = mass_sum(batch.content, [need.amount for need in exact])
    after = mass_sum(batch.content, [need.amount for need in measured])
    if batch.dimension != Dimension.MASS or before is None or after is None:
        return message("scaling.finding.lots_may_change_total")
    unit = batch.make.unit
    said = {"total": before.to(unit), "changed": after.to(unit)}
    return message("scaling.finding.lots_change_total", **said)
