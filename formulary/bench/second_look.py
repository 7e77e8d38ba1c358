"""Whether a second person, looking afresh, saw and worked out the same as the first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from formulary.bench.events import LineChecked
from formulary.bench.true_strength import Precision
from formulary.bench.weighing import LineState, shown, weighed
from formulary.errors import Refusal
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.scaling.plan import Plan


@dataclass(frozen=True, slots=True)
class Doubt:
    """Two people don't agree: ``told`` gives no figure away, ``on_record`` says both of them."""

    told: Message
    on_record: Message


def doubt_about(line: LineState, look: LineChecked, reads: Mapping[str, Precision]) -> Doubt | None:
    """Return how a second look differs from what is on record of a line, None where it doesn't.

    Every container that something of is in the line must be named, and no other. The figure may be
    one step of the balance off.
    """
    used = {each.container for each in line.portions if each.container and each.net.number}
    named = {look.container, *look.others} - {""}
    if used and named != used:
        return _doubt("container", line, seen=_names(named), recorded=_names(used))
    total = weighed(line)
    if total is None or _alike(look.seen, total, _step(line, reads)):
        return None
    return _doubt("figure", line, seen=look.seen, recorded=shown(total))


def doubts_about(
    plan: Plan, figures: Sequence[Amount | None], reads: Mapping[str, Precision]
) -> tuple[Doubt, ...]:
    """Return the lines whose figures were worked out otherwise by whoever checks the plan.

    Raises :class:`formulary.errors.Refusal` unless there is a figure for each line.
    """
    if len(figures) != len(plan.lines):
        raise Refusal(message("bench.second_look.figures_missing", n=len(plan.lines)))
    return tuple(_doubts(plan, figures, reads))


def _doubts(
    plan: Plan, figures: Sequence[Amount | None], reads: Mapping[str, Precision]
) -> Iterator[Doubt]:
    for line, figure in zip(plan.lines, figures, strict=True):
        planned = line.to_measure
        if planned is None:
            continue
        name = line.line.ingredient
        if figure is None:
            raise Refusal(message("bench.second_look.figure_missing", ingredient=name))
        read = reads.get(line.instrument)
        if not _alike(figure, planned, read.readability if read else None):
            told = message("bench.second_look.plan", ingredient=name)
            both = message(
                "bench.second_look.plan_on_record",
                ingredient=name,
                seen=figure,
                recorded=shown(planned),
            )
            yield Doubt(told, both)


def _alike(seen: Amount, recorded: Amount, step: Amount | None) -> bool:
    if units.dimension(seen.unit) != units.dimension(recorded.unit):
        return False
    if seen == recorded:
        return True
    known = step is not None and units.dimension(step.unit) == units.dimension(recorded.unit)
    return known and step is not None and _size(seen - recorded) <= step


def _size(amount: Amount) -> Amount:
    return amount if amount.number >= Fraction(0) else amount * -1


def _step(line: LineState, reads: Mapping[str, Precision]) -> Amount | None:
    read = reads.get(line.readings[-1].balance) if line.readings else None
    return read.readability if read is not None else None


def _names(containers: set[str]) -> str:
    return ", ".join(sorted(containers))


def _doubt(what: str, line: LineState, *, seen: Amount | str, recorded: Amount | str) -> Doubt:
    told = message(f"bench.second_look.{what}", ingredient=line.ingredient)
    both = message(
        f"bench.second_look.{what}_on_record",
        ingredient=line.ingredient,
        seen=seen,
        recorded=recorded,
    )
    return Doubt(told, both)
