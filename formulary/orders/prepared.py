"""What the program can say to each item of the plausibility check before a pharmacist judges it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from formulary.errors import BadText
from formulary.formula.content import Content, Form, Period, Role, Route
from formulary.formula.kind_text import said as quantity_said
from formulary.ingredient import DoseLimit
from formulary.messages import Message, message
from formulary.orders.doses import Patient, dose_said
from formulary.orders.order import Order
from formulary.orders.plausibility import Item
from formulary.patient import PatientDetails
from formulary.quantity.parsing import parse_multiple
from formulary.shelf_life.dating import Dated, outlasts
from formulary.use_by import last_day

_NOT_ASKED = PatientDetails()
NO_LIMITS: Mapping[str, Sequence[DoseLimit]] = {}
_TAKEN_WHOLE = {
    Form.SUPPOSITORIES: (Route.RECTAL,),
    Form.PESSARIES: (Route.VAGINAL,),
    Form.CAPSULES: (Route.ORAL,),
    Form.OINTMENT: (Route.SKIN, Route.SCALP, Route.NOSE, Route.RECTAL, Route.MOUTH),
    Form.MOUTHWASH: (Route.MOUTH,),
    Form.LINIMENT: (Route.SKIN,),
}
"""The routes that a form is usually for; a form that isn't here goes by many (common practice)."""


@dataclass(frozen=True, slots=True)
class Prepared:
    """Facts for one item, and a doubt where the program has one; the opinion is a person's."""

    item: Item
    facts: tuple[Message, ...] = ()
    doubts: tuple[Message, ...] = ()


def prepare(
    order: Order,
    content: Content,
    made_on: date,
    details: PatientDetails = _NOT_ASKED,
    lasts: Dated | None = None,
    limits: Mapping[str, Sequence[DoseLimit]] = NO_LIMITS,
) -> tuple[Prepared, ...]:
    """Return what is known to each item, all items in order; ``made_on`` is the day of making.

    ``lasts`` is the formula's date by the house's rules, where there is one for that day;
    ``limits`` are the house's largest doses by the names that the formula gives its ingredients.
    """
    found: Mapping[Item, Prepared] = {
        each.item: each
        for each in (
            _dose(order, content, made_on, details, limits),
            _route(content),
            _compatibility(content),
            _quality(content),
            _shelf_life(order, content, made_on, lasts),
            _allergies(details),
        )
    }
    return tuple(found[item] for item in Item)


def with_reviewed(
    prepared: tuple[Prepared, ...], reviewed: Sequence[Message]
) -> tuple[Prepared, ...]:
    """Return the items with what the note on compatibility has to answer of a one-off's review."""
    return tuple(
        replace(each, doubts=(*each.doubts, *reviewed)) if each.item is Item.COMPATIBILITY else each
        for each in prepared
    )


def _dose(
    order: Order,
    content: Content,
    made_on: date,
    details: PatientDetails,
    limits: Mapping[str, Sequence[DoseLimit]],
) -> Prepared:
    actives = [line for line in content.lines if line.role is Role.ACTIVE]
    facts = [
        message("orders.fact.active", name=line.ingredient, quantity=quantity_said(line.quantity))
        for line in actives
    ]
    if order.directions.strip():
        facts.append(message("orders.fact.directions", directions=order.directions))
    months = details.months_old(made_on)
    if months is not None:
        facts.append(_age(months))
    if details.weight is not None:
        facts.append(message("orders.fact.weight", weight=details.weight))
    doubts = [] if actives else [message("orders.doubt.no_active")]
    if not order.directions.strip():
        doubts.append(message("orders.doubt.no_directions"))
    if months is None and content.route in (Route.ORAL, Route.RECTAL):
        doubts.append(message("orders.doubt.no_age"))
    patient = Patient(months, details.weight)
    told, doubtful = dose_said(content, order.dosing, limits, patient)
    return Prepared(Item.DOSE, (*facts, *told), (*doubts, *doubtful))


def _age(months: int) -> Message:
    """Say an age in months up to two years, in years after that."""
    young = months < 2 * 12
    return message(
        "orders.fact.age_in_months" if young else "orders.fact.age_in_years",
        n=months if young else months // 12,
    )


def _route(content: Content) -> Prepared:
    form = message(f"formula.form.{content.form.name.lower()}")
    route = message(f"formula.route.{content.route.name.lower()}")
    usual = _TAKEN_WHOLE.get(content.form, tuple(Route))
    doubts = (message("orders.doubt.route", form=form, route=route),)
    fact = message("orders.fact.route", form=form, route=route)
    return Prepared(Item.ROUTE, (fact,), () if content.route in usual else doubts)


def _compatibility(content: Content) -> Prepared:
    names = tuple(line.ingredient for line in content.lines)
    twice = tuple(sorted({name for name in names if names.count(name) > 1}))
    doubts = tuple(message("orders.doubt.twice", name=name) for name in twice)
    together = tuple(
        message("orders.fact.active", name=line.ingredient, quantity=quantity_said(line.quantity))
        for line in content.lines
    )
    return Prepared(Item.COMPATIBILITY, (message("orders.fact.together", names=together),), doubts)


def _quality(content: Content) -> Prepared:
    life = content.shelf_life
    if life is None or not life.reference.strip():
        return Prepared(Item.QUALITY, (), (message("orders.doubt.no_evidence"),))
    return Prepared(Item.QUALITY, (message("orders.fact.evidence", reference=life.reference),))


def _shelf_life(order: Order, content: Content, made_on: date, lasts: Dated | None) -> Prepared:
    """Hold the treatment against the shelf life: all of it unopened, one container's once opened.

    Treatment is taken to start on the day of making; every later day leaves it a day less.
    """
    life, days = content.shelf_life, order.treatment_days
    if life is None:
        return Prepared(Item.SHELF_LIFE, (), (message("orders.doubt.no_shelf_life"),))
    facts = tuple(
        message(f"orders.fact.{key}", period=_period(each))
        for key, each in (("lasts", life.unopened), ("lasts_opened", life.opened))
        if each is not None
    )
    if lasts is not None:
        bound = lasts.bound_by.said
        facts += (message("orders.fact.lasts_by_rule", end=lasts.use_by, bound=bound),)
    if days is None:
        return Prepared(Item.SHELF_LIFE, facts, (message("orders.doubt.no_days"),))
    facts += (message("orders.fact.treatment", n=days),)
    longer = outlasts(lasts, days) if lasts else None
    doubts = [longer.said] if longer else []
    if longer is None and not _covers(life.unopened, made_on, days):
        doubts.append(_too_short("too_short", days))
    each_days = -(-days // _containers(order.target))
    if life.opened is not None and not _covers(life.opened, made_on, each_days):
        doubts.append(_too_short("too_short_opened", each_days))
    return Prepared(Item.SHELF_LIFE, facts, tuple(doubts))


def _covers(period: Period, made_on: date, days: int) -> bool:
    return last_day(made_on, period).result >= made_on + timedelta(days=days - 1)


def _too_short(key: str, days: int) -> Message:
    return message(f"orders.doubt.{key}", n=days)


def _containers(target: str) -> int:
    try:
        return parse_multiple(target).count
    except BadText:
        return 1


def _period(period: Period) -> Message:
    return message(f"formula.period.{period.span.value}", n=period.number)


def _allergies(details: PatientDetails) -> Prepared:
    if details.allergies:
        said = message("orders.doubt.allergies", allergies=details.allergies)
        return Prepared(Item.ALLERGIES, (), (said,))
    if details.no_allergies:
        return Prepared(Item.ALLERGIES, (message("orders.fact.no_allergies"),))
    return Prepared(Item.ALLERGIES, (), (message("orders.doubt.not_asked"),))
