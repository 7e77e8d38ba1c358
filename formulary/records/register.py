"""The register: preparations in the order asked for, found by lot, code or title."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from formulary.bench.kept import FilledJar, Place
from formulary.bench.stages import Stage
from formulary.canonical import from_canonical_text
from formulary.folding import sought_words
from formulary.quantity.amount import Amount
from formulary.records.moments import at_offset
from formulary.records.tables import FilledJarRow, LabelPrintRow, PreparationRow
from formulary.store import RegisterRow, Sorting

_COLUMNS = (
    PreparationRow.id,
    PreparationRow.lot,
    PreparationRow.code,
    PreparationRow.title,
    PreparationRow.version_number,
    PreparationRow.target,
    PreparationRow.made_on,
    PreparationRow.use_by,
    PreparationRow.stage,
    PreparationRow.started_at,
    PreparationRow.started_offset,
    PreparationRow.started_by,
    PreparationRow.containers,
)
_ORDERS: dict[Sorting, tuple[ColumnElement[Any], ...]] = {
    Sorting.NEWEST: (PreparationRow.started_at.desc(), PreparationRow.id.desc()),
    Sorting.OLDEST: (PreparationRow.started_at.asc(), PreparationRow.id.asc()),
    Sorting.ENDS_FIRST: (PreparationRow.use_by.asc(), PreparationRow.id.asc()),
    Sorting.ENDS_LAST: (PreparationRow.use_by.desc(), PreparationRow.id.desc()),
}


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked for: words that are all contained, a stage, an order, certain ids."""

    typed: str
    stage: Stage | None
    sorting: Sorting
    among: Collection[str] | None = None


def page(session: Session, asked: Asked, limit: int, offset: int) -> list[RegisterRow]:
    """Return one page of the preparations asked for."""
    words = sought_words(asked.typed)
    wanted = (
        select(*_COLUMNS)
        .where(*(PreparationRow.searched.contains(word) for word in words))
        .where(*(() if asked.stage is None else (PreparationRow.stage == asked.stage.value,)))
        .where(*(() if asked.among is None else (PreparationRow.id.in_(asked.among),)))
        .order_by(*_ORDERS[asked.sorting])
        .limit(limit)
        .offset(offset)
    )
    found = session.execute(wanted).all()
    ids = [row.id for row in found]
    printed, filled = _printed(session, ids), _filled(session, ids)
    return [_row(row, printed.get(row.id, 0), filled.get(row.id, ())) for row in found]


def _printed(session: Session, ids: Collection[str]) -> dict[str, int]:
    """Return for how many containers of each preparation labels were printed, proofs apart.

    A container with two labels counts once; prints from before that was noted by their labels.
    """
    each = func.coalesce(func.nullif(LabelPrintRow.containers, 0), LabelPrintRow.copies)
    summed = (
        select(LabelPrintRow.preparation_id, func.sum(each))
        .where(LabelPrintRow.preparation_id.in_(ids), LabelPrintRow.proof.in_((False,)))
        .group_by(LabelPrintRow.preparation_id)
    )
    return {made: int(copies) for made, copies in session.execute(summed)}


def _filled(session: Session, ids: Collection[str]) -> dict[str, tuple[Amount, ...]]:
    """Return what each container of the preparations holds, in the order of their numbers."""
    wanted = select(FilledJarRow.body).where(
        FilledJarRow.preparation_id.in_(ids), FilledJarRow.place != Place.NOWHERE.value
    )
    jars = [from_canonical_text(FilledJar, body) for body in session.scalars(wanted)]
    found: dict[str, tuple[Amount, ...]] = {}
    for each in sorted(jars, key=lambda jar: jar.number):
        found[each.preparation_id] = (*found.get(each.preparation_id, ()), each.net)
    return found


def _row(
    row: Any,  # noqa: ANN401  a row of the columns above
    labels: int,
    filled: tuple[Amount, ...],
) -> RegisterRow:
    return RegisterRow(
        preparation_id=row.id,
        lot=row.lot,
        code=row.code,
        title=row.title,
        version_number=row.version_number,
        target=row.target,
        made_on=row.made_on,
        use_by=row.use_by,
        stage=Stage(row.stage),
        started_at=at_offset(row.started_at, row.started_offset),
        started_by=row.started_by,
        labels_printed=labels,
        containers=row.containers,
        filled=filled,
    )
