"""Making good: what was overweighed sets the size, and the rest of the batch follows it up.

The factor is the largest actual / its lot-corrected target. What was declared per gram stays as it
was; the batch grows. It is offered only before phases are joined, and a pharmacist decides.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from formulary.bench.weighing import SHOWN_DIGITS, LineState, counted, last_factor, shown
from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.money import Money
from formulary.quantity.rounding import round_to_significant
from formulary.quantity.units import Dimension


@dataclass(frozen=True, slots=True)
class Ingoing:
    """One line before making good; amounts as the lot at hand is weighed.

    ``on_hand`` is what can still be taken of its lots, None if that isn't known; ``unit_cost`` what
    one of the target's unit costs when bought. ``up_to`` marks a line made up to a total volume.
    """

    name: str
    target: Amount
    actual: Amount | None = None
    on_hand: Amount | None = None
    unit_cost: Money | None = None
    up_to: bool = False


@dataclass(frozen=True, slots=True)
class Vessel:
    """The vessel in use and the most that it holds like the batch, None where that isn't known."""

    name: str
    holds: Amount | None


@dataclass(frozen=True, slots=True)
class LineMadeGood:
    """A line's new target, and what is still to add to it: nothing for the one that set it."""

    name: str
    target: Amount
    to_add: Amount


@dataclass(frozen=True, slots=True)
class MadeGood:
    """The batch made good; ``total`` is None where masses and volumes can't be added up.

    ``surplus`` is what is over the containers ordered, ``cost`` what the additional substance
    costs, both None where there is nothing to work them out from; prices in two currencies make no
    sum either.
    """

    factor: Fraction
    lines: tuple[LineMadeGood, ...]
    total: Amount | None
    surplus: Amount | None
    cost: Money | None
    steps: tuple[Message, ...]
    findings: tuple[Finding, ...]

    @property
    def possible(self) -> bool:
        """Whether vessel and lots suffice, as far as they are known."""
        return not any(each.severity is Severity.STOP for each in self.findings)


def make_good(
    lines: Sequence[Ingoing],
    *,
    total: Amount | None = None,
    ordered: Amount | None = None,
    vessel: Vessel | None = None,
) -> MadeGood:
    """Return the batch scaled up to its most overweighed line.

    ``total`` is the batch before, worked out where every line is a mass; ``ordered`` what the
    containers take. Nothing is ever scaled down: where no line is over its target, the factor is 1.
    Raises :class:`formulary.errors.Refusal` for no lines, a target that isn't above zero, a
    negative actual, or one of another kind than its target.
    """
    _require_sound(lines)
    leading = max(lines, key=_share)
    factor = max(_share(leading), Fraction(1))
    before = _sum(lines) if total is None else total
    after = None if before is None else before * factor
    surplus = _surplus(after, ordered)
    made = tuple(_line(each, factor) for each in lines)
    cost = _cost(lines, factor)
    return MadeGood(
        factor=factor,
        lines=made,
        total=after,
        surplus=surplus,
        cost=cost,
        steps=(
            _factor_step(leading, factor),
            *(_line_step(each, good, factor) for each, good in zip(lines, made, strict=True)),
            *_total_steps(before, after, factor, ordered, surplus),
            *_cost_step(cost),
        ),
        findings=(*_short_lots(lines, made), *_too_full(after, vessel)),
    )


def ingoing(
    state: LineState, on_hand: Amount | None = None, unit_cost: Money | None = None
) -> Ingoing | None:
    """Return a line at the bench as making good needs it, None where nothing is asked for.

    Readings of several lots are brought to what the last of them would weigh, so that what is
    still to add is right for that one.
    """
    if state.target is None or not state.target.number:
        return None
    factor = last_factor(state)
    so_far = counted(state)
    return Ingoing(
        state.ingredient,
        state.target * factor,
        None if so_far is None else so_far * factor,
        on_hand,
        unit_cost,
        state.up_to,
    )


def at_the_bench(
    states: Sequence[LineState],
    *,
    total: Amount,
    ordered: Amount,
    vessel: Vessel | None = None,
    on_hand: Mapping[int, Amount] | None = None,
    unit_costs: Mapping[int, Money] | None = None,
) -> MadeGood:
    """Return what making good means for the lines at the bench; mappings by their positions."""
    held, costs = on_hand or {}, unit_costs or {}
    found = (ingoing(each, held.get(each.position), costs.get(each.position)) for each in states)
    lines = [each for each in found if each is not None]
    return make_good(lines, total=total, ordered=ordered, vessel=vessel)


def surplus_jars(surplus: Amount, each: Amount) -> int:
    """Return how many extra jars of that fill a surplus makes, whole ones only."""
    return int(surplus / each)


def _require_sound(lines: Sequence[Ingoing]) -> None:
    if not lines:
        raise Refusal(message("bench.make_good.no_lines"))
    for each in lines:
        if each.target.number <= 0:
            raise Refusal(message("bench.make_good.no_target", name=each.name))
        if each.actual is None:
            continue
        if each.actual.number < 0:
            raise Refusal(message("bench.make_good.negative", name=each.name))
        if units.dimension(each.actual.unit) != units.dimension(each.target.unit):
            raise Refusal(
                message(
                    "bench.make_good.other_kind",
                    name=each.name,
                    actual=each.actual,
                    target=each.target,
                )
            )


def _share(line: Ingoing) -> Fraction:
    """Return actual / target, nothing where it isn't weighed; a mark is never overweighed."""
    if line.actual is None or line.up_to:
        return Fraction(0)
    return line.actual / line.target


def _line(line: Ingoing, factor: Fraction) -> LineMadeGood:
    target = line.target * factor
    if line.actual is None or line.up_to:
        return LineMadeGood(line.name, target, target)
    return LineMadeGood(line.name, target, target - line.actual)


def _sum(lines: Sequence[Ingoing]) -> Amount | None:
    if any(units.dimension(each.target.unit) is not Dimension.MASS for each in lines):
        return None
    first, *others = (each.target for each in lines)
    for each in others:
        first += each
    return first


def _surplus(total: Amount | None, ordered: Amount | None) -> Amount | None:
    if total is None or ordered is None:
        return None
    surplus = total - ordered
    return surplus if surplus.number > 0 else surplus * 0


def _cost(lines: Sequence[Ingoing], factor: Fraction) -> Money | None:
    """Return what the growth costs: of every line, whether weighed or to come."""
    prices = [each.unit_cost for each in lines if each.unit_cost is not None]
    if len(prices) < len(lines) or len({(each.unit, each.minor_units) for each in prices}) != 1:
        return None
    grown = (each.target.number * (factor - 1) for each in lines)
    priced = zip(prices, grown, strict=True)
    return replace(prices[0], number=sum((e.number * more for e, more in priced), Fraction(0)))


def _cost_step(cost: Money | None) -> Iterator[Message]:
    """Say the cost to the currency's smallest coin."""
    if cost is not None:
        coins = 10**cost.minor_units
        shown = replace(cost, number=Fraction(round(cost.number * coins), coins))
        yield message("bench.make_good.step.cost", cost=shown)


def _factor_step(leading: Ingoing, factor: Fraction) -> Message:
    if leading.actual is None or factor == 1:
        return message("bench.make_good.step.none_over")
    return message(
        "bench.make_good.step.factor",
        name=leading.name,
        actual=shown(leading.actual),
        target=shown(leading.target),
        factor=_read(factor),
    )


def _line_step(line: Ingoing, good: LineMadeGood, factor: Fraction) -> Message:
    key = "up_to" if line.up_to else "to_come" if line.actual is None else "weighed"
    return message(
        f"bench.make_good.step.{key}",
        name=line.name,
        before=shown(line.target),
        factor=_read(factor),
        target=shown(good.target),
        actual=shown(line.actual or line.target * 0),
        to_add=shown(good.to_add),
    )


def _total_steps(
    before: Amount | None,
    after: Amount | None,
    factor: Fraction,
    ordered: Amount | None,
    surplus: Amount | None,
) -> Iterator[Message]:
    if before is None or after is None:
        yield message("bench.make_good.step.no_total")
        return
    said = {"before": shown(before), "total": shown(after)}
    yield message("bench.make_good.step.total", factor=_read(factor), **said)
    if ordered is not None and surplus is not None:
        said = {"total": shown(after), "ordered": ordered, "surplus": shown(surplus)}
        yield message("bench.make_good.step.surplus", **said)


def _short_lots(lines: Sequence[Ingoing], made: Sequence[LineMadeGood]) -> Iterator[Finding]:
    for line, good in zip(lines, made, strict=True):
        if line.on_hand is not None and not line.up_to and good.to_add > line.on_hand:
            said = message(
                "bench.make_good.lots_short",
                name=line.name,
                to_add=shown(good.to_add),
                on_hand=line.on_hand,
            )
            yield Finding(Severity.STOP, said, line.name)


def _too_full(total: Amount | None, vessel: Vessel | None) -> Iterator[Finding]:
    if vessel is None:
        return
    holds = vessel.holds
    if total is None or holds is None or units.dimension(total.unit) != units.dimension(holds.unit):
        said = message("bench.make_good.vessel_unknown", vessel=vessel.name)
        yield Finding(Severity.REASON, said, "vessel")
    elif total > holds:
        said = message(
            "bench.make_good.vessel_small",
            vessel=vessel.name,
            holds=holds,
            total=shown(total),
        )
        yield Finding(Severity.STOP, said, "vessel")


def _read(factor: Fraction) -> Fraction:
    return round_to_significant(factor, SHOWN_DIGITS)
