"""What the details of an order say: facts in words, none of them about the patient."""

from __future__ import annotations

from datetime import date

from formulary.messages import message
from formulary.orders.blocking import Block, Step
from formulary.orders.queries import Query
from formulary.patient import PatientDetails
from formulary.verbs.find_person import Known
from formulary.verbs.look_up_order import OrderSeen
from formulary.verbs.view_patient import PatientSeen
from ui.context import Context
from ui.orders.order_model import AREA, purpose_said

_TWO_YEARS = 24


def facts_of(context: Context, seen: OrderSeen) -> list[tuple[str, str]]:
    """Return an order's facts, each with its name."""
    text, said, written = context.text, context.said, context.catalogue.written
    order = seen.order
    days = order.treatment_days
    prescribed = "" if order.prescribed is None else written(order.prescribed)
    found = {
        "standing": said(message(f"orders.standing.{seen.standing.value}")),
        "purpose": purpose_said(context, seen),
        "formula": _formula(context, seen),
        "target": order.target,
        "prescribed": prescribed,
        "language": text(f"ui_forms.language.{order.language}") if order.language else "",
        "directions": order.directions,
        "days": text(f"{AREA}.days", n=days) if days else "",
        "received": _received(context, seen),
        "checked": _checked(context, seen),
        "lots": ", ".join(made.lot for made in seen.preparations),
        "reason": order.reason,
    }
    return [(text(f"{AREA}.fact.{name}"), each) for name, each in found.items()]


def patient_facts(context: Context, people: PatientSeen, today: date) -> list[tuple[str, str]]:
    """Return what is known of an order's people."""
    text, written = context.text, context.catalogue.written
    details = people.details
    found = {
        "patient": people.patient or text(f"{AREA}.nobody"),
        "age": _age(context, details, today),
        "weight": "" if details.weight is None else written(details.weight),
        "allergies": _allergies(context, details) if people.patient else "",
        "telephone": details.telephone,
        "prescriber": people.prescriber or text(f"{AREA}.nobody"),
        "prescriber_telephone": people.prescriber_telephone,
    }
    return [(text(f"{AREA}.fact.{name}"), each) for name, each in found.items()]


def known_said(context: Context, known: Known, day: date) -> str:
    """Return somebody known in one line, so that two of one name can be told apart."""
    details = known.details
    age = _age(context, details, day)
    return ", ".join(filter(None, (known.name, age, details.telephone)))


def block_said(context: Context, block: Block) -> str:
    """Return what is missing, with the steps that wait for it."""
    waiting = tuple(message(f"orders.step.{step.value}") for step in Step if step in block.steps)
    return context.text(f"{AREA}.blocked", said=block.said, steps=waiting)


def query_said(context: Context, query: Query) -> str:
    """Return a query with what came back."""
    asked = message(
        f"{AREA}.asked",
        question=query.question,
        whom=query.to_whom or message(f"{AREA}.erased"),
        at=query.asked_at,
        by=name_of(context, query.asked_by),
    )
    if query.answered_at is None:
        return context.text(f"{AREA}.unanswered", asked=asked)
    if query.taken_back:
        return context.text(f"{AREA}.taken_back", asked=asked, reason=query.taken_back)
    by = query.answered_by or message(f"{AREA}.erased")
    said = {"answer": query.answer, "by": by, "at": query.answered_at}
    return context.text(f"{AREA}.answered", asked=asked, **said)


def name_of(context: Context, person_id: str) -> str:
    """Return the name of somebody who works here."""
    return next((each.name for each in context.people if each.id == person_id), person_id)


def _formula(context: Context, seen: OrderSeen) -> str:
    version = seen.version
    if version is None:
        return context.text(f"{AREA}.no_formula")
    state = message(f"formula.state.{version.state.name.lower()}")
    return context.text(
        f"{AREA}.formula",
        code=version.content.code,
        title=version.content.title,
        n=version.number,
        state=state,
    )


def _received(context: Context, seen: OrderSeen) -> str:
    order = seen.order
    by = name_of(context, order.received_by)
    return context.text(f"{AREA}.at_by", at=order.received_at, by=by)


def _checked(context: Context, seen: OrderSeen) -> str:
    if not seen.order.checks:
        return ""
    signature = seen.order.checks[-1].signature
    return context.text(f"{AREA}.at_by", at=signature.at, by=signature.person)


def _age(context: Context, details: PatientDetails, today: date) -> str:
    months = details.months_old(today)
    if months is None:
        return ""
    young = months < _TWO_YEARS
    key = "age_in_months" if young else "age_in_years"
    return context.text(f"orders.fact.{key}", n=months if young else months // 12)


def _allergies(context: Context, details: PatientDetails) -> str:
    if details.allergies:
        return ", ".join(details.allergies)
    key = "orders.fact.no_allergies" if details.no_allergies else "orders.doubt.not_asked"
    return context.text(key)
