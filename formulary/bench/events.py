"""What can happen to a preparation, one small record each; nothing that happened is overwritten.

Positions of lines and steps are those of the formula's content, from 0; jars, timers, deviations
and recorded events are numbered from 1.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from fractions import Fraction
from typing import TypeAlias

from formulary.bench.joining import SideTemperature
from formulary.bench.original import Original
from formulary.bench.reading import Reading
from formulary.bench.stages import Stage
from formulary.formula.content import Asked
from formulary.people import Post
from formulary.quantity.amount import Amount
from formulary.signing import Signature
from formulary.stock.lot import Attachment

# Planning


@dataclass(frozen=True, slots=True)
class Reserved:
    """The lot was set aside for a blank on paper, should the program not be at hand."""

    reason: str


@dataclass(frozen=True, slots=True)
class Planned:
    """Somebody scaled the formula; ``plan_hash`` binds the event to that very plan."""

    target: str
    plan_hash: str = ""


@dataclass(frozen=True, slots=True)
class PlanChecked:
    """Another person went through the plan and signed.

    ``figures`` are those that the person worked out without seeing the plan's, by line; None where
    a line is used as needed. Empty where the plan's own were looked at.
    """

    note: str = ""
    figures: tuple[Amount | None, ...] = ()


@dataclass(frozen=True, slots=True)
class BenchCleared:
    """The bench is free of other goods; each tick of the house's list, and what is used.

    ``before`` is the lot that was made there last, ``room`` what was read of the room that day, as
    both were shown. ``supervisor_id`` is who stands by where the maker isn't fit for it alone.
    """

    ticks: tuple[str, ...] = ()
    equipment: tuple[str, ...] = ()
    before: str = ""
    room: str = ""
    supervisor_id: str = ""


# Weighing


@dataclass(frozen=True, slots=True)
class ContainerStaged:
    """A container was fetched and its code scanned, or its number ``typed``."""

    line: int
    container: str
    lot: str = ""
    typed: bool = False


@dataclass(frozen=True, slots=True)
class ContainerRefused:
    """A container was fetched and isn't taken, for ``why``: another ingredient, expired, ...

    ``container`` is what was scanned, or its number ``typed``.
    """

    line: int
    container: str
    why: str
    typed: bool = False


@dataclass(frozen=True, slots=True)
class VesselTared:
    """A main vessel was weighed empty; ``holds`` is the most that goes into it, where known.

    ``phase`` is the one that is made in it.
    """

    vessel: str
    tare: Amount
    balance: str = ""
    holds: Amount | None = None
    phase: str = ""


@dataclass(frozen=True, slots=True)
class VesselWeighed:
    """A main vessel was weighed with what is in it, after a step if one is named."""

    vessel: str
    gross: Amount
    balance: str = ""
    step: int | None = None


@dataclass(frozen=True, slots=True)
class WaterRestored:
    """Water was added for what had evaporated."""

    vessel: str
    amount: Amount
    container: str = ""
    lot: str = ""


@dataclass(frozen=True, slots=True)
class LineWeighed:
    """One reading for a line."""

    line: int
    reading: Reading


@dataclass(frozen=True, slots=True)
class LineTransferred:
    """A line's boat was emptied into a vessel."""

    line: int
    vessel: str


@dataclass(frozen=True, slots=True)
class LineChecked:
    """A second person saw container and figure afresh and signed; what was seen is kept.

    ``others`` are the further containers where a line was weighed from several.
    """

    line: int
    container: str
    seen: Amount
    others: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class EndReached:
    """A line used as needed needs nothing more; what was ``found`` at the end point."""

    line: int
    found: str


class Way(StrEnum):
    """A way out where a line is out of tolerance."""

    WASTE = "remove to waste and weigh again"
    ADD = "add more"
    MAKE_GOOD = "make good"
    ACCEPT = "accept"
    DISCARD = "discard"


class Surplus(StrEnum):
    """What becomes of what the ordered containers don't take after making good."""

    WASTE = "waste"
    EXTRA_JAR = "extra jar"


@dataclass(frozen=True, slots=True)
class LineDecided:
    """What was decided about a line out of tolerance, and why.

    ``factor`` and ``surplus`` belong to making good.
    """

    line: int
    way: Way
    reason: str
    factor: Fraction | None = None
    surplus: Surplus | None = None


@dataclass(frozen=True, slots=True)
class DropsAdded:
    """A group of drops counted as they went in."""

    line: int
    drops: int
    container: str = ""
    lot: str = ""
    vessel: str = ""
    factor: Fraction = Fraction(1)
    witness_id: str = ""


@dataclass(frozen=True, slots=True)
class MixtureMade:
    """A trituration, dilution or stock solution was made beside; the line is a part of it.

    ``taken`` is what went in of the substance, ``diluent`` all that it was made up with. What the
    line doesn't take is waste. ``factor`` is what is weighed of the substance's lot for one of what
    is declared; one from before it was asked for counts as the plan's lot.
    """

    line: int
    taken: Reading
    diluent: Reading
    factor: Fraction | None = None


# Method


@dataclass(frozen=True, slots=True)
class Answer:
    """What a step was answered: minutes, °C or pH as a number, a photo's file hash, a person."""

    what: Asked
    number: Fraction | None = None
    text: str = ""
    person_id: str = ""


@dataclass(frozen=True, slots=True)
class StepStarted:
    """A step was begun; with ``exception``, the signed reason, even out of its order."""

    step: int
    exception: str = ""


@dataclass(frozen=True, slots=True)
class StepDone:
    """A step is done; with ``exception``, the signed reason, even against what it asks.

    ``early`` is how many minutes it can have taken where it asks for more.
    """

    step: int
    answers: tuple[Answer, ...] = ()
    exception: str = ""
    early: Fraction | None = None


@dataclass(frozen=True, slots=True)
class TimerStarted:
    """A timer was started; it runs from the moment of this event until somebody stops it."""

    name: str
    minutes: Fraction
    step: int | None = None


@dataclass(frozen=True, slots=True)
class TimerStopped:
    """A timer was stopped; ``reason`` is why, where its time wasn't up."""

    timer: int
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Measured:
    """A temperature (°C), pH or time (minutes) noted in between; right or not, it is kept."""

    what: Asked
    number: Fraction
    step: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class PhasesJoined:
    """Phases were joined at a step at these temperatures."""

    step: int
    temperatures: tuple[SideTemperature, ...]
    exception: str = ""


@dataclass(frozen=True, slots=True)
class Interrupted:
    """The work was left for a while."""

    reason: str = ""


@dataclass(frozen=True, slots=True)
class Continued:
    """The work was taken up again."""


# Goods


@dataclass(frozen=True, slots=True)
class YieldTaken:
    """What there is in the end, and whether that is ``inside`` the limits; the last one counts.

    ``residue`` is what the emptied vessel still holds, where that was weighed.
    """

    amount: Amount
    inside: bool
    note: str = ""
    residue: Amount | None = None


@dataclass(frozen=True, slots=True)
class QualityTested:
    """A test of the formula was done, by its name.

    ``weights`` are the single masses it took; a laboratory's certificate may be attached.
    """

    test: str
    found: str
    passed: bool
    note: str = ""
    certificate: Attachment | None = None
    weights: tuple[Amount, ...] = ()


@dataclass(frozen=True, slots=True)
class ContainersFilled:
    """The containers were filled; they are numbered from 1 in this order.

    ``goods`` is what they are called on the shelf, ``goods_lot`` their maker's lot.
    """

    nets: tuple[Amount, ...]
    goods: str = ""
    goods_lot: str = ""


@dataclass(frozen=True, slots=True)
class LabelsPrinted:
    """One label was printed for each of these jars; of one printed before, for a ``reason``."""

    jars: tuple[int, ...]
    print_id: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True)
class LabelsVoided:
    """So many labels of a jar were spoilt and destroyed."""

    jar: int
    reason: str
    count: int = 1


@dataclass(frozen=True, slots=True)
class LabelsReconciled:
    """Labels against containers: printed = used + destroyed + spare."""

    used: int
    destroyed: int
    spare: int


@dataclass(frozen=True, slots=True)
class SentForRelease:
    """The record is complete and goes to the releaser."""


@dataclass(frozen=True, slots=True)
class Released:
    """A person who didn't make it compared order, record, label and product, and signed."""

    note: str = ""


@dataclass(frozen=True, slots=True)
class Rejected:
    """It may not be handed over, and what becomes of the goods."""

    reason: str
    fate: str


class Recipient(StrEnum):
    """Who a jar goes to."""

    PATIENT = "patient"
    WARD = "ward"
    STOCK = "stock"


@dataclass(frozen=True, slots=True)
class HandedOver:
    """A jar was handed over; the recipient is an opaque id, a ward's name, or a lot of stock."""

    jar: int
    recipient: Recipient
    recipient_id: str


# Control


class Category(StrEnum):
    """What a deviation is about."""

    WEIGHING = "weighing"
    CHECK = "second look"
    ORDER = "order of the method"
    TEMPERATURE = "temperature"
    ANSWER = "answer of a step"
    TIME = "time of a step"
    DROPS = "drops"
    YIELD = "yield"
    TEST = "test"
    CONTAINERS = "containers"
    LABELS = "labels"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class DeviationOpened:
    """Something went otherwise than written."""

    category: Category
    what: str
    impact: str = ""


@dataclass(frozen=True, slots=True)
class DeviationDecided:
    """A deviation was decided and signed."""

    deviation: int
    decision: str


@dataclass(frozen=True, slots=True)
class Held:
    """Work on it, or its hand-over, stops until the hold is lifted."""

    reason: str


@dataclass(frozen=True, slots=True)
class HoldLifted:
    """The hold is over."""

    reason: str


@dataclass(frozen=True, slots=True)
class Cancelled:
    """It won't be made; ``fate`` says what became of what was made already."""

    reason: str
    fate: str = ""


@dataclass(frozen=True, slots=True)
class SteppedBack:
    """It goes back to an earlier stage."""

    to: Stage
    reason: str


@dataclass(frozen=True, slots=True)
class Moved:
    """It goes on at another workstation."""

    workstation: str


@dataclass(frozen=True, slots=True)
class Transcribed:
    """What follows was done on a paper worksheet and is entered later."""

    sheet: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Corrected:
    """What an earlier event should have said; that event stays as it was."""

    event: int
    says: str
    reason: str


@dataclass(frozen=True, slots=True)
class SelfChecked:
    """Who acted alone looked at it afresh some time later, and signed."""

    event: int


Event: TypeAlias = (
    Reserved
    | Planned
    | PlanChecked
    | BenchCleared
    | ContainerStaged
    | ContainerRefused
    | VesselTared
    | VesselWeighed
    | WaterRestored
    | LineWeighed
    | LineTransferred
    | LineChecked
    | EndReached
    | LineDecided
    | DropsAdded
    | MixtureMade
    | StepStarted
    | StepDone
    | TimerStarted
    | TimerStopped
    | Measured
    | PhasesJoined
    | Interrupted
    | Continued
    | YieldTaken
    | QualityTested
    | ContainersFilled
    | LabelsPrinted
    | LabelsVoided
    | LabelsReconciled
    | SentForRelease
    | Released
    | Rejected
    | HandedOver
    | DeviationOpened
    | DeviationDecided
    | Held
    | HoldLifted
    | Cancelled
    | SteppedBack
    | Moved
    | Transcribed
    | Corrected
    | SelfChecked
)


def exception_of(event: Event) -> str:
    """Return the signed reason for which a step went against the method, empty where none did."""
    if isinstance(event, StepStarted | StepDone | PhasesJoined):
        return event.exception.strip()
    return ""


@dataclass(frozen=True, slots=True)
class Recorded:
    """An event as it was recorded: the how-many-th, when, by whom, and signed where asked.

    Of one that was done on paper first, ``original`` says when and by whom; ``at`` and ``person``
    are then those of the entry.
    """

    number: int
    at: datetime
    person_id: str
    person: str
    post: Post
    event: Event
    signature: Signature | None = None
    original: Original | None = None

    @property
    def done_at(self) -> datetime:
        """When it was done, be it on paper."""
        return self.at if self.original is None else self.original.at

    @property
    def done_by(self) -> str:
        """The id of whoever did it, be it on paper."""
        return self.person_id if self.original is None else self.original.person_id

    @property
    def doer(self) -> str:
        """The name of whoever did it, be it on paper."""
        return self.person if self.original is None else self.original.person
