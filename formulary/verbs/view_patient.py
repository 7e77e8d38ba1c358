"""Look at an order's patient: who looked is on record, without the name."""

from __future__ import annotations

from dataclasses import dataclass

from formulary.desk import Desk
from formulary.patient import PatientDetails
from formulary.people import Identity
from formulary.store import Reading
from formulary.verbs.look_up_order import order_with

_NOT_ASKED = PatientDetails()


@dataclass(frozen=True, slots=True)
class PatientSeen:
    """The people of an order; empty where nobody is named, or the name was erased."""

    patient: str = ""
    details: PatientDetails = _NOT_ASKED
    prescriber: str = ""
    prescriber_telephone: str = ""


def view_patient(desk: Desk, order_id: str) -> PatientSeen:
    """Return an order's patient and prescriber, and put on record that they were looked at.

    Raises :class:`formulary.errors.Forbidden` for whoever may not see patients.
    """
    with desk.writing("view_patient") as writing:
        order = order_with(writing, order_id)
        writing.tell(order=order.number)
        patient = _identity(writing, order.patient_id)
        prescriber = _identity(writing, order.prescriber_id)
    return PatientSeen(
        patient=patient.name if patient else "",
        details=_details(patient),
        prescriber=prescriber.name if prescriber else "",
        prescriber_telephone=_details(prescriber).telephone,
    )


def _details(identity: Identity | None) -> PatientDetails:
    return (identity.details if identity else None) or _NOT_ASKED


def _identity(store: Reading, identity_id: str) -> Identity | None:
    return store.get(Identity, identity_id) if identity_id else None
