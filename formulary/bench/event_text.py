"""Events as canonical text for keeping, under stable names."""

from __future__ import annotations

import json
from functools import lru_cache

from formulary.bench import events
from formulary.bench.events import Event
from formulary.canonical import canonical_text, from_canonical_text
from formulary.canonical_codecs import KIND_FIELD
from formulary.errors import BadText
from formulary.messages import message

EVENT_NAMES: dict[type[Event], str] = {
    events.Reserved: "reserved",
    events.Planned: "planned",
    events.PlanChecked: "plan checked",
    events.BenchCleared: "bench cleared",
    events.ContainerStaged: "container staged",
    events.ContainerRefused: "container refused",
    events.VesselTared: "vessel tared",
    events.VesselWeighed: "vessel weighed",
    events.WaterRestored: "water restored",
    events.LineWeighed: "line weighed",
    events.LineTransferred: "line transferred",
    events.LineChecked: "line checked",
    events.EndReached: "end reached",
    events.LineDecided: "line decided",
    events.DropsAdded: "drops added",
    events.MixtureMade: "mixture made",
    events.StepStarted: "step started",
    events.StepDone: "step done",
    events.TimerStarted: "timer started",
    events.TimerStopped: "timer stopped",
    events.Measured: "measured",
    events.PhasesJoined: "phases joined",
    events.Interrupted: "interrupted",
    events.Continued: "continued",
    events.YieldTaken: "yield taken",
    events.QualityTested: "quality tested",
    events.ContainersFilled: "containers filled",
    events.LabelsPrinted: "labels printed",
    events.LabelsVoided: "labels voided",
    events.LabelsReconciled: "labels reconciled",
    events.SentForRelease: "sent for release",
    events.Released: "released",
    events.Rejected: "rejected",
    events.HandedOver: "handed over",
    events.DeviationOpened: "deviation opened",
    events.DeviationDecided: "deviation decided",
    events.Held: "held",
    events.HoldLifted: "hold lifted",
    events.Cancelled: "cancelled",
    events.SteppedBack: "stepped back",
    events.Moved: "moved",
    events.Transcribed: "transcribed",
    events.Corrected: "corrected",
    events.SelfChecked: "self checked",
}
"""The name of each event in its text; never changed once written."""

_BY_NAME = {name: kind for kind, name in EVENT_NAMES.items()}


def event_text(event: Event) -> str:
    """Return the canonical text of an event."""
    return canonical_text(event, EVENT_NAMES[type(event)])


@lru_cache(maxsize=2048)
def event_of(text: str) -> Event:
    """Return the event that a text holds. Raises :class:`formulary.errors.BadText`."""
    kind = _BY_NAME.get(_name(text))
    if kind is None:
        raise BadText(message("bench.unknown_event", name=_name(text)))
    return from_canonical_text(kind, text)


def _name(text: str) -> str:
    try:
        data = json.loads(text)
    except (ValueError, RecursionError):
        raise BadText(message("store.canonical.not_json")) from None
    return str(data.get(KIND_FIELD, "")) if isinstance(data, dict) else ""
