"""Whether person and instruments are fit for what is about to be recorded."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from formulary.bench import events
from formulary.bench.events import Event
from formulary.bench.original import Original
from formulary.bench.quality import FinalTest
from formulary.clock import legal_date
from formulary.desk import Desk
from formulary.equipment import EquipmentNote, none_fit
from formulary.errors import Forbidden, Refusal
from formulary.formula.content import Asked, Content
from formulary.house import InstrumentKind
from formulary.messages import Message, message
from formulary.people import Person
from formulary.store import Reading
from formulary.training import why_unfit

KINDS = {
    Asked.PH: InstrumentKind.PH_METER,
    Asked.TEMPERATURE: InstrumentKind.THERMOMETER,
}


def require_fit(
    desk: Desk, store: Reading, content: Content, event: Event, original: Original | None = None
) -> None:
    """Refuse a figure read on an instrument that isn't fit, and a bench begun by somebody unfit.

    What was done on paper is judged by the day and the person that stand there.

    Raises :class:`formulary.errors.Refusal` where the house has instruments of that kind and none
    may be used that day, and :class:`formulary.errors.Forbidden` for whoever isn't trained, unless
    somebody who is stands by.
    """
    day = day_of(desk, original)
    for kind in dict.fromkeys(_read_on(event)):
        notes = store.every(EquipmentNote)
        for reason in none_fit(desk.house.instruments, kind, notes, day):
            raise Refusal(reason)
    if isinstance(event, events.BenchCleared):
        _require_trained(desk, store, content, event, original)


def day_of(desk: Desk, original: Original | None) -> date:
    """Return the day on which something was done: today, or that on the paper."""
    return desk.today if original is None else legal_date(original.at, desk.house.zone)


def why_not_alone(desk: Desk, content: Content, original: Original | None = None) -> Message | None:
    """Return why whoever makes this can't without a supervisor, else None.

    That is the person at the desk, or on paper the one who stands there.
    """
    by = (desk.person.id, desk.person.name)
    if original is not None:
        by = (original.person_id, original.person)
    return why_unfit(desk.house.trainings, *by, content.form, day_of(desk, original))


def _read_on(event: Event) -> Iterator[InstrumentKind]:
    match event:
        case events.StepDone(answers=answers):
            for answer in answers:
                if answer.number is not None and answer.what in KINDS:
                    yield KINDS[answer.what]
        case events.Measured(what=what) if what in KINDS:
            yield KINDS[what]
        case events.PhasesJoined():
            yield InstrumentKind.THERMOMETER
        case events.QualityTested(test=test) if test.strip() == FinalTest.PH.value:
            yield InstrumentKind.PH_METER
        case _:
            return


def _require_trained(
    desk: Desk,
    store: Reading,
    content: Content,
    event: events.BenchCleared,
    original: Original | None,
) -> None:
    unfit = why_not_alone(desk, content, original)
    if unfit is None:
        return
    if not event.supervisor_id:
        raise Forbidden(unfit)
    supervisor = store.get(Person, event.supervisor_id)
    name = supervisor.name if supervisor is not None else event.supervisor_id
    maker = desk.person.id if original is None else original.person_id
    if event.supervisor_id == maker:
        raise Forbidden(message("equipment.own_supervisor", person=name))
    day, trainings = day_of(desk, original), desk.house.trainings
    also = why_unfit(trainings, event.supervisor_id, name, content.form, day)
    if also is not None:
        raise Forbidden(also)
