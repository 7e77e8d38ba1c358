"""Compose a one-off: the formula of one order, for its patient alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.formula.completing import completed
from formulary.formula.content import Content
from formulary.formula.stability import WaterClass
from formulary.formula.version import Formula, State, Version
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.orders.order import Order, OrderState, Purpose
from formulary.review.holding_water import water_by_records
from formulary.store import Writing
from formulary.verbs.date_preparation import require_kept_as_dated
from formulary.verbs.look_up_order import open_order
from formulary.verbs.move_version import require_keeping, require_sound


def compose_one_off(
    desk: Desk, order_id: str, content: Content, *, seen: int | None = None
) -> Order:
    """Keep the formula of an order as a draft; its code is the order's number.

    The signed plausibility check puts it in use for that order. Composed again after that, it is a
    new version, to be checked again. Raises :class:`formulary.errors.Refusal` for a formula that
    doesn't add up or has no storage or shelf life, for a date that holds only colder than the label
    says, and for an order in work, and Conflict unless ``seen`` is the order's revision.
    """
    ingredients = desk.store.every(Ingredient)
    known = completed(content, ingredients)
    _require_water_told(known, ingredients)
    require_sound(known)
    require_keeping(known)
    require_kept_as_dated(desk.house, known, desk.today)
    with desk.writing("compose_one_off") as writing:
        order = open_order(writing, order_id, seen)
        _require_for_patient(order)
        version = _write(desk, writing, order, replace(known, code=order.number))
        writing.tell(order=order.number)
        return writing.put(replace(order, version_id=version.id, one_off=True))


def _require_for_patient(order: Order) -> None:
    if order.purpose is not Purpose.PATIENT:
        raise Refusal(message("orders.one_off_elsewhere"))
    if order.state is OrderState.IN_WORK:
        raise Refusal(message("orders.in_work", number=order.number))


def _require_water_told(content: Content, ingredients: Sequence[Ingredient]) -> None:
    """Refuse "no water" for what holds some by the records."""
    free = content.water is not None and content.water.water_class is WaterClass.NON_AQUEOUS
    if free and water_by_records(content, ingredients) is WaterClass.AQUEOUS:
        raise Refusal(message("orders.holds_water"))


def _write(desk: Desk, writing: Writing, order: Order, content: Content) -> Version:
    """Return the draft as kept: the one there is, or the next version of the one-off's formula."""
    before = writing.get(Version, order.version_id) if order.one_off else None
    formula = writing.get(Formula, before.formula_id) if before is not None else None
    named = formula or Formula(new_id(), content.code, content.title)
    writing.put(replace(named, title=content.title))
    number = before.number + 1 if before is not None else 1
    author, now = desk.person.id, desk.act().at
    if before is not None and before.state is State.DRAFT:
        earlier = dict.fromkeys((*before.earlier_author_ids, before.author_id))
        others = tuple(each for each in earlier if each != author)
        draft = replace(
            before,
            content=content,
            author_id=author,
            written_at=now,
            earlier_author_ids=others,
        )
        return writing.put(draft)
    return writing.put(
        Version(
            id=new_id(),
            formula_id=named.id,
            number=number,
            content=content,
            author_id=author,
            written_at=now,
            order_id=order.id,
        )
    )
