"""What happened, in words: for the record, and for whoever comes back to the bench."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import fields
from enum import StrEnum
from fractions import Fraction

from formulary.bench.event_text import EVENT_NAMES
from formulary.bench.events import (
    Category,
    Continued,
    Corrected,
    DeviationDecided,
    DeviationOpened,
    Held,
    HoldLifted,
    Interrupted,
    Moved,
    QualityTested,
    Recipient,
    Recorded,
    SelfChecked,
    Surplus,
    Transcribed,
    Way,
)
from formulary.bench.reading import Reading, as_read
from formulary.bench.stages import Stage
from formulary.bench.state import Deviation, State
from formulary.formula.content import Asked
from formulary.messages import Message, Parameter, message
from formulary.quantity.amount import Amount

_NAMED: dict[type[StrEnum], str] = {
    Stage: "stage",
    Way: "way",
    Asked: "asked",
    Category: "category",
    Recipient: "recipient",
    Surplus: "surplus",
}


def said(recorded: Recorded, state: State) -> Message:
    """Return an event in words, with the names of the state's lines and steps."""
    name = EVENT_NAMES[type(recorded.event)].replace(" ", "_")
    if isinstance(recorded.event, QualityTested) and not recorded.event.passed:
        name = "quality_failed"
    return message(f"bench.event.{name}", **_told(recorded, state))


def where(state: State) -> Message | None:
    """Return where the bench was: the last act there, by whom and when; None before the first."""
    last = state.last_work
    if last is None:
        return None
    return message("bench.where", what=said(last, state), person=last.doer, at=last.done_at)


_ASIDE = (
    Held,
    HoldLifted,
    Interrupted,
    Continued,
    Moved,
    Transcribed,
    Corrected,
    SelfChecked,
    DeviationOpened,
    DeviationDecided,
)
"""What is noted of a preparation and brings it no further."""


_TYPED = ("reason", "fate", "says", "what", "decision", "why", "found")
"""What somebody wrote of an event, as a sentence or without its end."""


def ended(written: str) -> str:
    """Return what somebody wrote with the mark that ends a sentence, so that others can follow."""
    text = written.strip()
    return text if not text or text[-1] in ".!?…" else f"{text}."


def last_done(events: Sequence[Recorded], state: State) -> Message | None:
    """Return where it was: the last act at the bench or, once that is over, the last one of all.

    None before anything was weighed or done.
    """
    if state.stage in (Stage.BENCH_CLEARED, Stage.IN_WORK) or state.last_work is None:
        return where(state)
    last = next((each for each in reversed(events) if not isinstance(each.event, _ASIDE)), None)
    if last is None:
        return None
    return message("bench.where", what=said(last, state), person=last.doer, at=last.done_at)


def named(member: StrEnum) -> Message:
    """Return the name of a stage, way, answer, category or recipient for a person."""
    return message(f"bench.{_NAMED[type(member)]}.{member.name.lower()}")


def decision_said(deviation: Deviation) -> Message:
    """Return what was decided about a deviation: the way out that was chosen, and why."""
    if deviation.way is None:
        return message("bench.words", text=ended(deviation.decision))
    way = named(deviation.way)
    return message("bench.deviation.way", way=way, reason=ended(deviation.decision))


def _told(recorded: Recorded, state: State) -> dict[str, Parameter]:
    event = recorded.event
    told: dict[str, Parameter] = {}
    for each in fields(event):
        told.update(_parameters(each.name, getattr(event, each.name), state))
    return told


def _parameters(name: str, value: object, state: State) -> Iterator[tuple[str, Parameter]]:
    match value:
        case int() if name == "line":
            yield "ingredient", state.lines[value].ingredient
        case int() if name == "step":
            yield "number_of_step", value + 1
            yield "step", ended(state.job.method.steps[value].step.text)
        case StrEnum():
            yield name, named(value)
        case Reading():
            yield "amount" if name == "reading" else name, as_read(value.amount, (value,))
        case tuple():
            yield "n", len(value)
        case str() if name in _TYPED:
            yield name, ended(value)
        case str() | int() | Fraction() | Amount():
            yield name, value
        case _:
            return
