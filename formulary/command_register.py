"""``misce register``: what was made, newest first."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any

from formulary.bench.stages import Stage, named
from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import WrongUsage
from formulary.messages import Message, message
from formulary.register.filled import contents_said
from formulary.scaling.plan_json import quantity_json
from formulary.store import Reading, RegisterRow
from formulary.verbs.list_register import Wanted, list_register, mark_of

_AT_ONCE = 500
_RECALLED = "recalled"


def asked(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Return the register as data and as lines for people; no patient is in it."""
    rows = tuple(_rows(desk.store, _wanted(" ".join(options.text), options.state)))
    if not rows:
        return [], [catalogue.text("command.register.nothing")]
    return [_row(each) for each in rows], list(_lines(rows, catalogue))


def _wanted(text: str, typed: str) -> Wanted:
    state = typed.strip().casefold().replace("-", " ")
    if state in ("", _RECALLED):
        return Wanted(text, recalled=bool(state))
    for each in Stage:
        if each.value == state:
            return Wanted(text, each)
    known = (*(each.value for each in Stage), _RECALLED)
    raise WrongUsage(message("command.register.no_state", typed=typed, known=known))


def _rows(store: Reading, wanted: Wanted) -> Iterator[RegisterRow]:
    offset = 0
    while page := list_register(store, wanted, _AT_ONCE, offset):
        yield from page
        offset += len(page)


def _row(each: RegisterRow) -> dict[str, Any]:
    return {
        "lot": each.lot,
        "formula": each.code,
        "title": each.title,
        "version": each.version_number,
        "target": each.target,
        "state": each.stage.value,
        "recalled": each.recalled,
        "started": each.started_at.isoformat(),
        "made": _iso(each.made),
        "use_by": _iso(each.lasts_until),
        "containers": each.there,
        "filled": [quantity_json(net) for net in each.filled],
        "labels_printed": each.labels_printed,
        "started_by": each.started_by,
    }


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _lines(rows: Iterable[RegisterRow], catalogue: Catalogue) -> Iterator[str]:
    for each in rows:
        what = message(
            "command.register.row",
            lot=each.lot,
            code=each.code,
            title=each.title,
            version=each.version_number,
            target=contents_said(each.target, each.filled),
            state=_state(each),
        )
        yield catalogue.text(what)
        yield catalogue.text(_dates(each))


def _state(each: RegisterRow) -> Message:
    mark, state = mark_of(each.stage, recalled=each.recalled), named(each.stage)
    if mark is None:
        return state
    return message("command.register.marked", state=state, mark=mark)


def _dates(each: RegisterRow) -> Message:
    n, by = each.there, each.started_by
    if each.made is None or each.lasts_until is None:
        return message("command.register.not_made", n=n, by=by)
    return message("command.register.dates", made=each.made, use_by=each.lasts_until, n=n, by=by)
