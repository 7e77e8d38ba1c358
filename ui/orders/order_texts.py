"""The texts of an order's form: from what is kept, and back into what is asked for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TypeAlias

from formulary.desk import Desk
from formulary.orders.order import Purpose
from formulary.orders.patient_text import read_days, read_patient
from formulary.patient import PatientDetails
from formulary.prescription.reading import without_people
from formulary.quantity.writing import NO_BREAK_SPACE
from formulary.verbs.find_person import Known as Person
from formulary.verbs.look_up_order import OrderSeen
from formulary.verbs.read_prescription import in_use_here, read_prescription
from formulary.verbs.take_order import Asked
from formulary.verbs.view_patient import PatientSeen
from ui.context import Context

Known: TypeAlias = dict[str, str]
"""Version ids by the names under which formulas are offered."""

_OF_PATIENT = ("age", "weight", "allergies", "telephone")
PICKED = {"patient": "patient_id", "prescriber": "prescriber_id"}
"""The fields of people, and where the id of somebody picked stands in a draft."""
_TWO_YEARS = 24


def known_formulas(desk: Desk, seen: OrderSeen | None = None) -> Known:
    """Return the house formulas in use by code and title, and an order's own one-off."""
    found = in_use_here(desk.store)
    known = {f"{each.content.code} {each.content.title}": each.version_id for each in found}
    known = dict(sorted(known.items(), key=lambda each: each[0].casefold()))
    version = seen.version if seen is not None else None
    if version is not None and version.id not in known.values():
        known[f"{version.content.code} {version.content.title}"] = version.id
    return known


def asked_from(
    desk: Desk, texts: Mapping[str, str], before: Mapping[str, str], known: Known, picked: Picked
) -> Asked:
    """Return what the form asks for; people who are as they were ``before`` are left out.

    ``picked`` are the known people picked for a field, whose texts count as those before. Raises
    :class:`formulary.errors.BadText` with the field that can't be read.
    """
    house = desk.house
    for each in picked.values():
        before = {**before, **each.texts}
    purpose = Purpose(texts["purpose"] or before.get("purpose") or Purpose.PATIENT.value)
    written = texts["prescription"].strip()
    proposed = read_prescription(desk.store, house, written) if written else None
    same = all(texts[name] == before.get(name, "") for name in _OF_PATIENT)
    details = None if same else read_patient(texts, house.decimal_sign, desk.today)
    if before and not same:
        # Emptied fields are a change, too.
        details = details or PatientDetails()
    return Asked(
        purpose=purpose,
        patient=_changed("patient", texts, before),
        patient_id=_id_of("patient", picked),
        details=details,
        ward=texts["ward"],
        prescriber=_changed("prescriber", texts, before),
        prescriber_id=_id_of("prescriber", picked),
        prescriber_details=_prescriber(texts, before),
        version_id=known.get(texts["formula"].strip(), ""),
        target=texts["target"],
        directions=texts["directions"],
        language=texts["language"],
        treatment_days=read_days(texts["treatment_days"]),
        prescription=without_people(proposed.prescription) if proposed is not None else "",
    )


@dataclass(frozen=True, slots=True)
class PickedPerson:
    """Somebody known who was picked: the id, and the texts that the form then showed."""

    id: str
    texts: Mapping[str, str]


Picked: TypeAlias = Mapping[str, PickedPerson]
"""Who was picked, by the field of the name."""


def picked_person(context: Context, field: str, person: Person, day: date) -> PickedPerson:
    """Return somebody known as the form shows them."""
    if field == "prescriber":
        texts = {"prescriber": person.name, "prescriber_telephone": person.details.telephone}
    else:
        texts = {"patient": person.name, **_patient_texts(context, person.details, day)}
    return PickedPerson(person.id, texts)


def still_picked(picked: Picked, texts: Mapping[str, str]) -> dict[str, PickedPerson]:
    """Return who is still meant: with another name typed it is another person."""
    return {
        field: each for field, each in picked.items() if texts[field].strip() == each.texts[field]
    }


def _id_of(field: str, picked: Picked) -> str:
    return picked[field].id if field in picked else ""


def _prescriber(texts: Mapping[str, str], before: Mapping[str, str]) -> PatientDetails | None:
    telephone = texts["prescriber_telephone"].strip()
    if telephone == before.get("prescriber_telephone", ""):
        return None
    return PatientDetails(telephone=telephone)


def _changed(name: str, texts: Mapping[str, str], before: Mapping[str, str]) -> str:
    return "" if texts[name] == before.get(name, "") else texts[name]


def texts_of(context: Context, seen: OrderSeen, people: PatientSeen, day: date) -> dict[str, str]:
    """Return an order as its form shows it."""
    order, version = seen.order, seen.version
    return {
        "purpose": order.purpose.value,
        "patient": people.patient,
        **_patient_texts(context, people.details, day),
        "ward": order.ward,
        "prescriber": people.prescriber,
        "prescriber_telephone": people.prescriber_telephone,
        "formula": "" if version is None else f"{version.content.code} {version.content.title}",
        "target": order.target,
        "language": order.language,
        "directions": order.directions,
        "treatment_days": str(order.treatment_days or ""),
        "prescription": order.prescription,
    }


def _patient_texts(context: Context, details: PatientDetails, day: date) -> dict[str, str]:
    weight = "" if details.weight is None else context.catalogue.written(details.weight)
    return {
        "age": _age(details, day),
        "weight": weight.replace(NO_BREAK_SPACE, " "),
        "allergies": "none" if details.no_allergies else ", ".join(details.allergies),
        "telephone": details.telephone,
    }


def _age(details: PatientDetails, day: date) -> str:
    if details.born is not None:
        return details.born.isoformat()
    months = details.months_old(day)
    if months is None:
        return ""
    years = months >= _TWO_YEARS and months % 12 == 0
    return f"{months // 12} years" if years else f"{months} months"
