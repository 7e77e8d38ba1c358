"""What is signed at the bench, by whom, and the PIN of whoever stands beside."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from formulary.bench import events
from formulary.bench.event_text import event_of, event_text
from formulary.bench.events import Event, exception_of
from formulary.bench.kept import BenchEvent, BenchJob
from formulary.canonical import content_hash, json_text, text_hash
from formulary.desk import Desk
from formulary.formula.content import Asked
from formulary.signing import Meaning, Signature
from formulary.verbs.sign_in import signed
from formulary.verbs.two_people import beside

MEANINGS: dict[type[Event], Meaning] = {
    events.PlanChecked: Meaning.CHECKED,
    events.LineChecked: Meaning.CHECKED,
    events.LineDecided: Meaning.DECIDED,
    events.DeviationDecided: Meaning.DECIDED,
    events.Released: Meaning.RELEASED,
    events.Rejected: Meaning.REJECTED,
    events.SelfChecked: Meaning.SELF_CHECKED,
}
"""What is signed, and what the signature means."""

EXCEPTION = "allow_exception"
"""The verb of a signed exception to the order or the limits of the method."""

_LONE = (events.LineWeighed, events.MixtureMade, events.DropsAdded, events.StepDone)


def signature_of(
    desk: Desk, event: Event, pin: str, alone_because: str, excepted_by: str = ""
) -> Signature | None:
    """Return the signature that an event needs, None where it needs none.

    Where a second person would have to stand by, who works alone signs instead. An exception is
    signed by the person with the id ``excepted_by``, or else by who does the work. Raises
    :class:`formulary.errors.Forbidden` for a wrong PIN, and for somebody who may not.
    """
    meaning = MEANINGS.get(type(event))
    if isinstance(event, _LONE) and alone_because.strip():
        meaning = Meaning.MADE
    if exception_of(event):
        allowing = beside(desk, excepted_by, EXCEPTION) if excepted_by else desk
        allowing.may(EXCEPTION)
        return signed(allowing, pin, Meaning.DECIDED, alone_because=alone_because)
    if meaning is None:
        return None
    return signed(desk, pin, meaning, alone_because=alone_because)


def bound(before: Sequence[BenchEvent], job: BenchJob, event: Event) -> str:
    """Return the hash of what is signed with an event: the job, all that happened, and the event.

    A signature with this hash stands for nothing else (21 CFR 11.70).
    """
    hashes = [content_hash(job), *(content_hash(each) for each in before)]
    return text_hash(json_text([*hashes, event_text(event)]))


def still_stands(events_: Sequence[BenchEvent], job: BenchJob, number: int) -> bool:
    """Tell whether the signature of an event, by its number, is that of what is kept now."""
    *before, signed_event = events_[:number]
    signature = signed_event.signature
    if signature is None:
        return False
    return signature.content_hash == bound(before, job, event_of(signed_event.event))


def prove_second(desk: Desk, event: Event, pin: str) -> None:
    """Let whoever an event names as its second person prove it by a PIN of their own.

    Raises :class:`formulary.errors.Forbidden` for a wrong PIN or a post that may not, and
    :class:`formulary.errors.NotFound` for somebody who doesn't work here.
    """
    for person_id in dict.fromkeys(_beside(event)):
        signed(beside(desk, person_id), pin, Meaning.WITNESSED)


def _beside(event: Event) -> Iterator[str]:
    match event:
        case events.LineWeighed(reading=reading) if reading.witness_id:
            yield reading.witness_id
        case events.MixtureMade(taken=reading) if reading.witness_id:
            yield reading.witness_id
        case events.DropsAdded(witness_id=witness_id) if witness_id:
            yield witness_id
        case events.BenchCleared(supervisor_id=supervisor) if supervisor:
            yield supervisor
        case events.StepDone(answers=answers):
            for answer in answers:
                if answer.what is Asked.SECOND_PERSON and answer.person_id:
                    yield answer.person_id
        case _:
            return
