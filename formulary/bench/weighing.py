"""What a weighing means: its line's target, what each lot counts for, and the verdict."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum
from fractions import Fraction

from formulary.bench.reading import (
    Portion,
    Reading,
    Taking,
    as_read,
    portions,
    require_alike,
    require_sound,
)
from formulary.errors import Forbidden, Refusal
from formulary.messages import Message, message
from formulary.quantity.amount import Amount
from formulary.quantity.rounding import round_half_even_to, round_to_significant
from formulary.scaling.plan import PlannedLine
from formulary.tolerance import Verdict
from formulary.working import Working

SHOWN_DIGITS = 6
PERCENT_DIGITS = 3


class Standing(StrEnum):
    """How a line stands: not begun, more to come, right, or too much."""

    WAITING = "waiting"
    UNDER = "under"
    INSIDE = "inside"
    OVER = "over"


@dataclass(frozen=True, slots=True)
class LineState:
    """One line at the bench, as its readings so far make it.

    ``declared`` is what it asks for before any lot's correction, None where it is used as needed;
    ``percent`` the allowed error, None where no band applies. ``factor`` is the planned lot's:
    what is weighed of it for one of what is declared. ``raised`` is what making good multiplied
    the line by. ``mixture`` is what went into the mixture of which the line is a part. ``vessel``
    is empty while all of it is in its own boat. ``disputed`` says how a second look differed; a
    line used as needed has ``ended`` once it needs nothing more. ``weighed_at`` is the last time.
    """

    position: int
    ingredient: str
    declared: Amount | None
    percent: Fraction | None
    factor: Fraction = Fraction(1)
    up_to: bool = False
    high_alert: bool = False
    needs_check: bool = False
    controlled: bool = False
    raised: Fraction = Fraction(1)
    readings: tuple[Reading, ...] = ()
    weighed_by: tuple[str, ...] = ()
    checked_by: str = ""
    vessel: str = ""
    mixture: Reading | None = None
    accepted_because: str = ""
    disputed: Message | None = None
    ended: bool = False
    weighed_at: datetime | None = None

    @property
    def target(self) -> Amount | None:
        """Return what it asks for now, as declared."""
        return None if self.declared is None else self.declared * self.raised

    @property
    def portions(self) -> tuple[Portion, ...]:
        """Return what each container gave."""
        return portions(self.readings)

    @property
    def in_own_boat(self) -> bool:
        """Whether what was weighed can still be taken out."""
        return not self.vessel


@dataclass(frozen=True, slots=True)
class Window:
    """What the line should weigh in all, if what is still missing comes from one lot."""

    low: Amount
    target: Amount
    high: Amount


def line_at_bench(
    position: int,
    planned: PlannedLine,
    *,
    high_alert: bool = False,
    needs_check: bool = False,
    controlled: bool = False,
) -> LineState:
    """Return a planned line before its first reading.

    Of an aliquot no lot changes the amount: the correction went into what it is taken from.
    """
    factor = Fraction(1)
    if planned.correction is not None and planned.sub_plan is None:
        factor = planned.correction.factor
    measured = planned.to_measure
    return LineState(
        position=position,
        ingredient=planned.line.ingredient,
        declared=None if measured is None else measured * (1 / factor),
        percent=planned.band.percent if planned.band else None,
        factor=factor,
        up_to=planned.up_to,
        high_alert=high_alert,
        needs_check=needs_check,
        controlled=controlled,
    )


def weigh(state: LineState, reading: Reading, person_id: str) -> LineState:
    """Return the line with one more reading; those before stay as they were.

    Raises :class:`formulary.errors.Refusal` for a reading that can't stand: unsettled, of nothing,
    of another kind, or of waste from a vessel that holds other lines too, and
    :class:`formulary.errors.Forbidden` for a typed figure of a high-alert ingredient, or any of a
    controlled substance, that no second person witnessed.
    """
    require_sound(reading)
    if state.ended:
        raise Refusal(message("bench.weighing.already_ended", ingredient=state.ingredient))
    if state.accepted_because:
        raise Refusal(message("bench.weighing.already_accepted", ingredient=state.ingredient))
    wanted = state.declared or (state.readings[0].amount if state.readings else reading.amount)
    require_alike(reading.amount, wanted, state.ingredient)
    if reading.taking is Taking.LEFT and not state.in_own_boat:
        raise Refusal(message("bench.weighing.not_from_vessel", vessel=state.vessel))
    require_witness(state, reading, person_id)
    weighed = replace(
        state,
        readings=(*state.readings, reading),
        weighed_by=(*state.weighed_by, person_id),
        vessel=state.vessel or reading.vessel,
        checked_by="",
        disputed=None,
    )
    portions(weighed.readings)
    return weighed


def needs_witness(state: LineState, reading: Reading) -> bool:
    """Whether somebody else has to see a reading: typed, or of a controlled substance."""
    return state.controlled or (state.high_alert and reading.manual)


def require_witness(state: LineState, reading: Reading, person_id: str) -> None:
    """Raise :class:`formulary.errors.Forbidden` without the second person that a line asks for."""
    if not needs_witness(state, reading):
        return
    kind = "second" if state.controlled else "witness"
    if not reading.witness_id:
        raise Forbidden(message(f"bench.weighing.{kind}_missing", ingredient=state.ingredient))
    if reading.witness_id == person_id:
        raise Forbidden(message(f"bench.weighing.{kind}_is_weigher", ingredient=state.ingredient))


def transfer(state: LineState, vessel: str) -> LineState:
    """Return the line after its boat was emptied into a vessel; nothing comes out of it again."""
    if not state.readings:
        raise Refusal(message("bench.weighing.nothing_to_transfer", ingredient=state.ingredient))
    return replace(state, vessel=vessel)


def raise_by(state: LineState, factor: Fraction) -> LineState:
    """Return the line with the larger target of a batch that is made good."""
    if factor < 1:
        raise Refusal(message("bench.make_good.nothing_over"))
    return replace(state, raised=state.raised * factor)


def accept(state: LineState, reason: str) -> LineState:
    """Return the line as a pharmacist takes it, outside its band, for a reason."""
    if not reason.strip():
        raise Refusal(message("bench.weighing.reason_missing", ingredient=state.ingredient))
    return replace(state, accepted_because=reason)


def check_again(state: LineState, person_id: str) -> LineState:
    """Return the line as a second person found it: identity and figure seen afresh."""
    if not state.readings:
        raise Refusal(message("bench.weighing.nothing_to_check", ingredient=state.ingredient))
    if person_id in state.weighed_by:
        raise Forbidden(message("bench.weighing.checker_is_weigher", ingredient=state.ingredient))
    return replace(state, checked_by=person_id, disputed=None)


def dispute(state: LineState, told: Message) -> LineState:
    """Return the line as unchecked, since a second person saw something else."""
    return replace(state, checked_by="", disputed=told)


def end(state: LineState) -> LineState:
    """Return a line used as needed as one that needs nothing more."""
    if state.declared is not None:
        raise Refusal(message("bench.weighing.has_target", ingredient=state.ingredient))
    return replace(state, ended=True)


def weighed(state: LineState) -> Amount | None:
    """Return what was weighed in all of every lot and is still there, None before a reading."""
    amounts = [each.net for each in state.portions]
    return _sum(amounts)


def counted(state: LineState) -> Amount | None:
    """Return what the readings count for as declared, each by its own lot's factor."""
    return _sum([each.declared for each in state.portions])


def _sum(amounts: list[Amount]) -> Amount | None:
    if not amounts:
        return None
    total = amounts[0]
    for each in amounts[1:]:
        total += each
    return total


def share(state: LineState) -> Fraction | None:
    """Return the content so far / what is asked for: 1 is right. None where nothing is asked for.

    With one lot this is actual / lot-corrected target; with several it is the same, content by
    content.
    """
    if state.target is None or not state.target.number:
        return None
    so_far = counted(state)
    return Fraction(0) if so_far is None else so_far / state.target


def judged(state: LineState) -> Verdict | None:
    """Return the verdict on all readings together, None without a band or a reading.

    The difference is in what is weighed of the last lot.
    """
    now = share(state)
    if now is None or state.percent is None or state.target is None or not state.readings:
        return None
    percent = (now - 1) * 100
    difference = state.target * ((now - 1) * last_factor(state))
    return Verdict(abs(percent) <= state.percent, difference, percent)


def last_factor(state: LineState) -> Fraction:
    """Return the factor of the lot weighed last, before that the planned lot's."""
    added = [each.factor for each in state.readings if each.taking is Taking.ADDED]
    return added[-1] if added else state.factor


def standing(state: LineState) -> Standing:
    """Return how the line stands. Without a band any reading is right; nothing asked for is too."""
    if state.target is not None and not state.target.number:
        return Standing.INSIDE
    if not state.readings or weighed(state) == _nothing(state):
        return Standing.WAITING
    verdict = judged(state)
    if verdict is None or verdict.inside:
        return Standing.INSIDE
    return Standing.OVER if verdict.percent > 0 else Standing.UNDER


def _nothing(state: LineState) -> Amount | None:
    total = weighed(state)
    return None if total is None else Amount(Fraction(0), total.unit)


def is_finished(state: LineState) -> bool:
    """Whether the line needs nothing more: right or accepted, and checked where it must be."""
    right = standing(state) is Standing.INSIDE or bool(state.accepted_because) or state.ended
    return right and (bool(state.checked_by) or not state.needs_check or not state.readings)


def missing(state: LineState) -> Amount | None:
    """Return what is still to come as declared; negative where there is too much."""
    if state.target is None:
        return None
    so_far = counted(state)
    return state.target if so_far is None else state.target - so_far


def remaining(
    state: LineState, factor: Fraction | None = None, step: Amount | None = None
) -> Working[Amount]:
    """Return what is still to weigh of a lot: what is missing as declared x that lot's factor.

    Never less than nothing. With ``step`` it is rounded to that readability. Raises
    :class:`formulary.errors.Refusal` for a line that is used as needed.
    """
    short = missing(state)
    if short is None:
        raise Refusal(message("bench.weighing.as_needed", ingredient=state.ingredient))
    by_lot = last_factor(state) if factor is None else factor
    short = short if short.number > 0 else Amount(Fraction(0), short.unit)
    amount = short * by_lot
    if step is not None:
        amount = round_half_even_to(amount, step)
    said = message(
        "bench.weighing.step.remaining",
        missing=shown(short),
        factor=round_to_significant(by_lot, SHOWN_DIGITS),
        amount=shown(amount),
    )
    return Working(amount, (said,))


def window(state: LineState, factor: Fraction | None = None) -> Window | None:
    """Return the band for the whole line in what is weighed, if one lot brings the rest."""
    short = missing(state)
    if short is None or state.target is None or state.percent is None:
        return None
    by_lot = last_factor(state) if factor is None else factor
    so_far = weighed(state) or Amount(Fraction(0), state.target.unit)
    target = so_far + short * by_lot
    allowed = state.target * (state.percent / 100 * by_lot)
    return Window(target - allowed, target, target + allowed)


def verdict_said(state: LineState) -> Message:
    """Return the verdict in words and figures."""
    total, verdict, expected = weighed(state), judged(state), window(state)
    where = standing(state)
    if where is Standing.WAITING or total is None:
        return message("bench.weighing.verdict.waiting", ingredient=state.ingredient)
    actual = as_read(total, state.readings)
    if verdict is None or expected is None or state.percent is None:
        return message("bench.weighing.verdict.recorded", actual=actual)
    return message(
        f"bench.weighing.verdict.{where.name.lower()}",
        actual=actual,
        target=shown(expected.target),
        difference=shown(_size(verdict.difference)),
        percent=round_to_significant(abs(verdict.percent), PERCENT_DIGITS),
        allowed=state.percent,
    )


def shown(amount: Amount) -> Amount:
    """Return an amount to six significant digits: for reading, never for sums."""
    return Amount(round_to_significant(amount.number, SHOWN_DIGITS), amount.unit)


def _size(amount: Amount) -> Amount:
    return Amount(abs(amount.number), amount.unit)
