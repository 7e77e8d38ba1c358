"""Date a preparation by the house's rule set: when it is started, and by what was weighed."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from formulary.canonical import json_text
from formulary.catalogue import Catalogue
from formulary.errors import Refusal
from formulary.formula.content import Content
from formulary.formula.version import State, Version
from formulary.house import House
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.preparation import Preparation
from formulary.shelf_life.asked import Asked
from formulary.shelf_life.dated_json import KeptDate, dated_json, kept_date
from formulary.shelf_life.dating import Dated, colder_than_kept, dated
from formulary.shelf_life.house_rules import CODE, HouseRules, as_rule_set
from formulary.shelf_life.materials import Ending, endings
from formulary.shelf_life.published import published_set
from formulary.shelf_life.rules import RuleSet
from formulary.stock.container import StockContainer
from formulary.stock.moves import Cause, StockMove
from formulary.stock.shelf import Holding
from formulary.store import Reading
from formulary.verbs.look_up_stock import holdings_of


def rules_of(house: House) -> RuleSet:
    """Return the rule set that the house chose; sets are never mixed.

    Raises :class:`formulary.errors.Refusal` for house rules that nobody signed.
    """
    if house.rule_set != CODE:
        return published_set(house.rule_set)
    if house.house_rules is None:
        raise Refusal(message("shelf_life.no_house_rules"))
    return _own_rules(house, house.house_rules)


def _own_rules(house: House, own: HouseRules) -> RuleSet:
    catalogue = Catalogue(house.language, house.decimal_sign)
    citation = message(
        "shelf_life.house_citation",
        house=house.name,
        person=own.signature.person,
        day=own.signature.at.date(),
    )
    return as_rule_set(
        own,
        catalogue.text("shelf_life.house_title"),
        catalogue.text(citation),
        catalogue.text("shelf_life.house_source"),
    )


def date_content(
    house: House,
    content: Content,
    made_on: date,
    *,
    signed: bool = False,
    materials: tuple[Ending, ...] = (),
) -> Dated:
    """Return how long a content lasts that is made that day.

    ``signed`` is whether a pharmacist put it in use, so that its evidence counts. Raises
    :class:`formulary.errors.Refusal` without a shelf life.
    """
    if content.shelf_life is None:
        raise Refusal(message("verbs.shelf_life_needed", title=content.title))
    rules = rules_of(house)
    return dated(Asked(content, made_on, rules, signed, house.first_day, materials))


def date_version(house: House, version: Version, made_on: date) -> Dated:
    """Return how long a version lasts that is made that day. Raises as :func:`date_content`."""
    return date_content(house, version.content, made_on, signed=is_signed(version))


def date_as_signed(house: House, content: Content, made_on: date) -> Dated | None:
    """Return how long a content would last once a pharmacist signs it; None without shelf life."""
    if content.shelf_life is None:
        return None
    return date_content(house, content, made_on, signed=True)


def is_signed(version: Version) -> bool:
    """Tell whether a pharmacist signed the version, its evidence with it."""
    return bool(version.approver_id) and version.state in (State.IN_USE, State.WITHDRAWN)


def require_datable(found: Dated) -> Dated:
    """Return the date. Raises :class:`formulary.errors.Refusal` where there is none to trust."""
    if found.stop is not None:
        raise Refusal(found.stop.said)
    return found


def require_kept_as_dated(house: House, content: Content, made_on: date) -> None:
    """Raise :class:`formulary.errors.Refusal` where date and storage contradict each other."""
    found = date_as_signed(house, content, made_on)
    said = None if found is None else colder_than_kept(found, content.storage)
    if said is not None:
        raise Refusal(said)


def with_date(preparation: Preparation, found: Dated, house: House) -> Preparation:
    """Return the preparation with its last day of use, and on record what led to it."""
    said = dated_json(found, Catalogue(house.language, house.decimal_sign))
    return replace(preparation, use_by=found.use_by, dating=json_text(said))


def date_by_what_went_in(store: Reading, preparation: Preparation, version: Version) -> Preparation:
    """Return a preparation dated by the containers it was weighed from, never later than before."""
    house = store.every(House)[0]
    found = date_content(
        house,
        version.content,
        preparation.made_on,
        signed=is_signed(version),
        materials=endings(went_in(store, preparation.lot), _names(store)),
    )
    later = found.use_by > preparation.use_by
    return preparation if later else with_date(preparation, found, house)


def use_by_so_far(store: Reading, lot: str, use_by: date) -> date:
    """Return the last day of use that what went in so far leaves; it is settled when packed."""
    ends = (each.last_day for each in endings(went_in(store, lot), {}))
    return min((use_by, *ends))


def went_in(store: Reading, lot: str) -> tuple[Holding, ...]:
    """Return the containers from which a preparation was weighed, with their lots."""
    moves = store.having(StockMove, preparation_lot=lot)
    ids = {each.container_id for each in moves if each.cause is Cause.WEIGHED}
    return holdings_of(store, store.having_any(StockContainer, "id", ids))


def _names(store: Reading) -> dict[str, str]:
    found: Iterable[Ingredient] = store.every(Ingredient)
    return {each.id: each.name for each in found}


def date_on_record(preparation: Preparation) -> KeptDate | None:
    """Return what is on record of a preparation's date; None for one from before it was kept."""
    return kept_date(json.loads(preparation.dating)) if preparation.dating else None
