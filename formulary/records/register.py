"""The register: preparations, newest first, found by lot, code or title."""

from __future__ import annotations

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from formulary.bench.stages import Stage
from formulary.records.folding import sought_words
from formulary.records.moments import at_offset
from formulary.records.tables import LabelPrintRow, PreparationRow
from formulary.store import RegisterRow


def page(session: Session, typed: str, limit: int, offset: int) -> list[RegisterRow]:
    """Return one page of the preparations that contain every word typed."""
    printed = (
        select(func.coalesce(func.sum(LabelPrintRow.copies), 0))
        .where(LabelPrintRow.preparation_id == PreparationRow.id, LabelPrintRow.proof.in_((False,)))
        .scalar_subquery()
    )
    wanted = (
        select(PreparationRow, printed)
        .where(*(PreparationRow.searched.contains(word) for word in sought_words(typed)))
        .order_by(PreparationRow.started_at.desc(), PreparationRow.id.desc())
        .limit(limit)
        .offset(offset)
    )
    return [_row(row, int(labels)) for row, labels in session.execute(wanted)]


def _row(row: PreparationRow, labels: int) -> RegisterRow:
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
    )
