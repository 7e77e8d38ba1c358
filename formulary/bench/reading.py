"""What came off a balance or measure for a line, kept as it was, and what it makes of its lot."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction

from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.house import Balance
from formulary.messages import message
from formulary.quantity import units
from formulary.quantity.amount import Amount, AsRead


class Taking(StrEnum):
    """What a reading stands for: what came from a container, or what a boat holds after waste."""

    ADDED = "added"
    LEFT = "left in the boat"


@dataclass(frozen=True, slots=True)
class Reading:
    """One net reading for a line; it is never changed afterwards.

    ``factor`` is what is weighed of this lot for one of what is declared (from its certificate).
    ``vessel`` is empty for the line's own boat. ``raw`` is the balance's own text, ``manual`` marks
    a typed figure and ``typed_container`` a container whose number was typed, not scanned.
    """

    amount: Amount
    balance: str
    container: str = ""
    lot: str = ""
    factor: Fraction = Fraction(1)
    taking: Taking = Taking.ADDED
    vessel: str = ""
    manual: bool = False
    typed_container: bool = False
    stable: bool = True
    raw: str = ""
    tare: Amount | None = None
    gross: Amount | None = None
    witness_id: str = ""


_FIGURE = re.compile(r"[0-9]+(?:[.,]([0-9]+))?")


def as_read(amount: Amount, readings: Sequence[Reading]) -> Amount:
    """Return what readings come to with the decimals that the balance showed, where known."""
    places = max((_places(each, amount.unit) for each in readings), default=0)
    whole = (amount.number * 10**places).denominator == 1
    return AsRead(amount.number, amount.unit, places) if places and whole else amount


def _places(reading: Reading, unit: str) -> int:
    """Return how many decimals were read; none where the text isn't of that unit and figure."""
    found = _FIGURE.search(reading.raw)
    if found is None or found[1] is None or reading.amount.unit != unit:
        return 0
    # The balance also shows what the boat held before; less than what was read, it is no decimal.
    shows = Fraction(found[0].replace(",", "."))
    return len(found[1]) if shows >= abs(reading.amount.number) else 0


@dataclass(frozen=True, slots=True)
class Portion:
    """What one container gave: ``net`` is in the line, ``wasted`` was taken out again.

    Stock falls by both; nothing ever goes back into the container.
    """

    container: str
    lot: str
    factor: Fraction
    net: Amount
    wasted: Amount

    @property
    def declared(self) -> Amount:
        """Return what the net amount counts for as declared."""
        return self.net * (1 / self.factor)

    @property
    def taken(self) -> Amount:
        """Return what left the container."""
        return self.net + self.wasted


def portions(readings: Sequence[Reading]) -> tuple[Portion, ...]:
    """Return what each container gave, in the order in which they were first weighed.

    Raises :class:`formulary.errors.Refusal` where more is left than there was, or where part of a
    boat with two containers in it went to waste, since nobody knows of which.
    """
    found: list[Portion] = []
    for reading in readings:
        found = _left(found, reading) if reading.taking is Taking.LEFT else _added(found, reading)
    return tuple(found)


def require_sound(reading: Reading) -> None:
    """Refuse a reading that can't be right in itself: unsettled, of nothing, or not adding up."""
    if not reading.stable:
        raise Refusal(message("bench.weighing.unstable", balance=reading.balance))
    least_is_zero = reading.taking is Taking.LEFT
    if reading.amount.number < 0 or (reading.amount.number == 0 and not least_is_zero):
        raise Refusal(message("bench.weighing.nothing_read", amount=reading.amount))
    if reading.factor <= 0:
        raise Refusal(message("bench.weighing.factor_not_positive", lot=reading.lot))
    if reading.tare is not None and reading.gross is not None:
        _require_sum(reading, reading.gross, reading.tare)


def _require_sum(reading: Reading, gross: Amount, tare: Amount) -> None:
    net = gross - tare
    if net / Amount(Fraction(1), reading.amount.unit) != reading.amount.number:
        raise Refusal(
            message("bench.weighing.no_sum", gross=gross, tare=tare, net=net, amount=reading.amount)
        )


def require_alike(amount: Amount, wanted: Amount, ingredient: str) -> None:
    """Refuse a reading of another kind than what is asked for: a volume for a mass, say."""
    if units.dimension(amount.unit) != units.dimension(wanted.unit):
        raise Refusal(
            message(
                "bench.weighing.other_kind", ingredient=ingredient, amount=amount, wanted=wanted
            )
        )


def _added(found: Sequence[Portion], reading: Reading) -> list[Portion]:
    key = (reading.container, reading.lot, reading.factor)
    for i, each in enumerate(found):
        if (each.container, each.lot, each.factor) == key:
            return [*found[:i], replace(each, net=each.net + reading.amount), *found[i + 1 :]]
    nothing = Amount(Fraction(0), reading.amount.unit)
    return [*found, Portion(*key, reading.amount, nothing)]


def _left(found: Sequence[Portion], reading: Reading) -> list[Portion]:
    """Return the portions after some went to waste: everything, or part of the only one."""
    if reading.amount.number == 0:
        return [_keeping(each, reading.amount) for each in found]
    holding = [i for i, each in enumerate(found) if each.net.number]
    if len(holding) > 1:
        raise Refusal(message("bench.weighing.mixed_boat"))
    if not holding or found[holding[0]].net < reading.amount:
        raise Refusal(message("bench.weighing.more_left", amount=reading.amount))
    at = holding[0]
    return [*found[:at], _keeping(found[at], reading.amount), *found[at + 1 :]]


def _keeping(portion: Portion, left: Amount) -> Portion:
    return replace(portion, net=left, wasted=portion.wasted + (portion.net - left))


def unsuited(
    reading: Reading, balance: Balance, in_boat: Amount | None = None
) -> tuple[Finding, ...]:
    """Return why a balance doesn't suit a reading: above its capacity, or below its minimum.

    Capacity counts the vessel with its content; the minimum holds for each addition by itself, and
    no heavier vessel lifts it. ``in_boat`` is what the line's own boat held before, on a balance
    that wasn't zeroed since: then what it holds together was weighed.
    """
    apart = in_boat is None or bool(reading.vessel)
    since_zero = reading.amount if apart or in_boat is None else reading.amount + in_boat
    load = reading.amount if reading.gross is None else reading.gross
    if load > balance.capacity:
        key, limit, severity = "over_capacity", balance.capacity, Severity.STOP
    elif reading.taking is Taking.ADDED and since_zero < balance.minimum:
        key, limit, severity = "below_minimum", balance.minimum, Severity.REASON
    else:
        return ()
    said = message(
        f"bench.weighing.{key}",
        balance=balance.name,
        amount=load if severity is Severity.STOP else since_zero,
        limit=limit,
    )
    return (Finding(severity, said, "balance"),)
