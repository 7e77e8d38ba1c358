"""``misce register``: what was made, newest first."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterable, Iterator
from typing import Any

from formulary.bench.stages import Stage, named
from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import WrongUsage
from formulary.messages import message
from formulary.store import Reading, RegisterRow

_AT_ONCE = 500


def asked(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Return the register as data and as lines for people; no patient is in it."""
    rows = tuple(_rows(desk.store, " ".join(options.text), _stage(options.state)))
    if not rows:
        return [], [catalogue.text("command.register.nothing")]
    return [_row(each) for each in rows], list(_lines(rows, catalogue))


def _stage(typed: str) -> Stage | None:
    wanted = typed.strip().casefold().replace("-", " ")
    if not wanted:
        return None
    for each in Stage:
        if each.value == wanted:
            return each
    known = tuple(each.value for each in Stage)
    raise WrongUsage(message("command.register.no_state", typed=typed, known=known))


def _rows(store: Reading, text: str, stage: Stage | None) -> Iterator[RegisterRow]:
    offset = 0
    while page := store.register(text, _AT_ONCE, offset, stage):
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
        "made": each.made_on.isoformat(),
        "use_by": each.use_by.isoformat(),
        "containers": each.containers,
        "labels_printed": each.labels_printed,
        "started_by": each.started_by,
    }


def _lines(rows: Iterable[RegisterRow], catalogue: Catalogue) -> Iterator[str]:
    for each in rows:
        what = message(
            "command.register.row",
            lot=each.lot,
            code=each.code,
            title=each.title,
            version=each.version_number,
            target=each.target,
            state=named(each.stage),
        )
        dates = message(
            "command.register.dates",
            made=each.made_on,
            use_by=each.use_by,
            n=each.containers,
            by=each.started_by,
        )
        yield catalogue.text(what)
        yield catalogue.text(dates)
