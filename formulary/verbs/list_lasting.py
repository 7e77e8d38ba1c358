"""How long the formulas of a list last by the house's rules, where their own period is longer."""

from __future__ import annotations

from collections.abc import Sequence

from formulary.desk import Desk
from formulary.errors import FormularyError
from formulary.formula.version import State, Version
from formulary.messages import Message
from formulary.shelf_life.dating import listed_as
from formulary.verbs.date_preparation import date_version


def lasting_otherwise(desk: Desk, formula_ids: Sequence[str]) -> dict[str, Message]:
    """Return by formula what to say in place of its own period, where that isn't what counts.

    It is asked for beside the list, which a key pressed brings before anything is worked out.
    """
    speaking: dict[str, Version] = {}
    for each in desk.store.having_any(Version, "formula_id", formula_ids):
        known = speaking.get(each.formula_id)
        if known is None or _speaks_before(each, known):
            speaking[each.formula_id] = each
    found = {each: _said(desk, version) for each, version in speaking.items()}
    return {each: said for each, said in found.items() if said is not None}


def _speaks_before(version: Version, other: Version) -> bool:
    """Whether a version speaks for its formula: one in use, else the newest."""
    rank = (version.state is State.IN_USE, version.number)
    return rank > (other.state is State.IN_USE, other.number)


def _said(desk: Desk, version: Version) -> Message | None:
    life = version.content.shelf_life
    if life is None or version.state is State.WITHDRAWN:
        return None
    try:
        return listed_as(date_version(desk.house, version, desk.today), life.unopened)
    except FormularyError:
        # House rules that nobody signed: the leaf says so.
        return None
