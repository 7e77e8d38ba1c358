"""What is signed at the bench, by whom, and the PIN of whoever stands beside."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.bench import events
from formulary.bench.events import Event, exception_of
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
