"""Take an order: what is asked for, for whom, and the text as it was written."""

from __future__ import annotations

from dataclasses import dataclass, replace

from formulary.catalogue import Catalogue, languages
from formulary.desk import Desk
from formulary.errors import NotFound, Refusal
from formulary.formula.version import State, Version
from formulary.house import House
from formulary.ids import new_id
from formulary.messages import message
from formulary.orders.order import Order, Purpose
from formulary.patient import PatientDetails
from formulary.people import Identity, Part
from formulary.quantity.amount import Amount, Concentration
from formulary.scaling.target import parse_target
from formulary.store import Reading, Writing
from formulary.wording.directions import Dosing, sentences
from formulary.wording.strength import only_strength


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked for, as entered; names and what is known of a patient go into the identity.

    A ``patient_id`` or ``prescriber_id`` is of somebody known, picked again. ``prescription`` is
    the text without the lines that name anybody. ``language`` is what the patient reads; a
    ``dosing`` is said in place of ``directions``.
    """

    purpose: Purpose = Purpose.PATIENT
    patient: str = ""
    patient_id: str = ""
    details: PatientDetails | None = None
    ward: str = ""
    prescriber: str = ""
    prescriber_id: str = ""
    prescriber_details: PatientDetails | None = None
    version_id: str = ""
    target: str = ""
    prescribed: Amount | None = None
    directions: str = ""
    treatment_days: int | None = None
    prescription: str = ""
    language: str = ""
    dosing: Dosing | None = None


def take_order(desk: Desk, asked: Asked) -> Order:
    """Keep a new order and return it with its number.

    Whatever is missing blocks a later step instead. Raises :class:`formulary.errors.Refusal` for
    what can't be meant, such as a target that can't be read or a version that isn't in use.
    """
    require_sense(desk, asked)
    now = desk.act().at
    with desk.writing("take_order") as writing:
        order = Order(
            id=new_id(),
            purpose=asked.purpose,
            received_at=now,
            received_by=desk.person.id,
            number=writing.allot_order(desk.today.year),
            patient_id=patient_of(writing, asked),
            ward=asked.ward.strip(),
            prescriber_id=prescriber_of(writing, asked),
            version_id=asked.version_id,
            target=asked.target.strip(),
            prescribed=asked.prescribed,
            directions=directions_of(desk, asked),
            treatment_days=asked.treatment_days,
            prescription=asked.prescription,
            language=asked.language,
            dosing=asked.dosing,
        )
        writing.tell(order=order.number)
        return writing.put(order)


def directions_of(desk: Desk, asked: Asked) -> str:
    """Return the directions as the house reads them: the sentences of a dosing, else as typed."""
    if asked.dosing is None:
        return asked.directions.strip()
    version = desk.store.get(Version, asked.version_id) if asked.version_id else None
    strength = only_strength(version.content) if version else None
    return said_in_house(desk.house, asked.dosing, strength)


def said_in_house(house: House, dosing: Dosing, strength: Concentration | None) -> str:
    """Return what a dosing says in the house's label language."""
    words = Catalogue(house.label_language, house.decimal_sign)
    said = (*map(words.text, sentences(dosing, strength)), dosing.note.strip())
    return " ".join(filter(None, said))


def identified(
    writing: Writing, part: Part, name: str, details: PatientDetails | None = None
) -> str:
    """Keep a name, and what else is known of a patient, behind an opaque id; no name, no id."""
    if not name.strip():
        return ""
    return writing.put(Identity(new_id(), part, name.strip(), details)).id


def patient_of(writing: Writing, asked: Asked, known: str = "") -> str:
    """Keep an order's patient and return the id; ``known`` is who stood in the order so far."""
    who = _Who(Part.PATIENT, asked.patient, asked.patient_id, asked.details)
    return _person(writing, who, known)


def prescriber_of(writing: Writing, asked: Asked, known: str = "") -> str:
    """Keep an order's prescriber as :func:`patient_of` keeps its patient."""
    who = _Who(Part.PRESCRIBER, asked.prescriber, asked.prescriber_id, asked.prescriber_details)
    return _person(writing, who, known)


@dataclass(frozen=True, slots=True)
class _Who:
    """Somebody as asked for: by name, or ``picked`` among those known; nothing leaves who is."""

    part: Part
    name: str
    picked: str
    details: PatientDetails | None


def _person(writing: Writing, who: _Who, known: str) -> str:
    there = _there(writing, who.picked or known)
    if there is None:
        return identified(writing, who.part, who.name, who.details) or known
    before = there.details or PatientDetails()
    name = who.name.strip() or there.name
    if not who.picked and before.again and name != there.name:
        # Other orders name this person: another name is another person.
        return identified(writing, who.part, name, who.details or replace(before, again=False))
    again = before.again or (bool(who.picked) and who.picked != known)
    details = replace(who.details or before, again=again)
    # Nothing is known of them where nothing was before.
    kept = there.details if details == PatientDetails() and not who.details else details
    now = replace(there, name=name, details=kept)
    if now != there:
        writing.put(now)
    return there.id


def _there(writing: Writing, identity_id: str) -> Identity | None:
    return writing.get(Identity, identity_id) if identity_id else None


def require_sense(desk: Desk, asked: Asked, order_id: str = "") -> None:
    """Raise Refusal for what can't be meant: a target, a version, somebody out of place."""
    if asked.target.strip():
        parse_target(asked.target, desk.house.decimal_sign)
    if (asked.patient.strip() or asked.patient_id) and asked.purpose is not Purpose.PATIENT:
        raise Refusal(message("orders.patient_elsewhere"))
    named = asked.patient.strip() or asked.patient_id or order_id
    if asked.details is not None and not named:
        raise Refusal(message("orders.details_of_nobody"))
    if asked.language and asked.language not in languages("label"):
        raise Refusal(message("label.no_language", language=asked.language))
    if asked.version_id:
        _require_makeable(desk.store, asked.version_id, order_id)


def _require_makeable(store: Reading, version_id: str, order_id: str) -> None:
    version = store.get(Version, version_id)
    if version is None:
        raise NotFound(message("verbs.no_such_formula", text=version_id))
    if version.order_id:
        if version.order_id != order_id:
            raise Refusal(message("verbs.one_off_of_another", title=version.content.title))
        return
    if version.state is not State.IN_USE:
        state = message(f"formula.state.{version.state.name.lower()}")
        title, number = version.content.title, version.number
        raise Refusal(message("verbs.not_in_use", title=title, number=number, state=state))
