"""What the details of a preparation show, read in one go on the worker; no patient is in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from formulary.bench.events import Recorded
from formulary.bench.kept import FilledJar
from formulary.bench.stages import Stage
from formulary.bench.standing import standing
from formulary.desk import Desk
from formulary.errors import NotFound
from formulary.kept_calculation import KeptCalculation
from formulary.preparation import LabelPrint, Preparation
from formulary.register.complaint import Complaint
from formulary.register.shelf import reached_by
from formulary.stock.recall import Recall
from formulary.verbs.address_preparation import preparation_of
from formulary.verbs.date_preparation import use_by_so_far
from formulary.verbs.keep_complaint import complaints_of
from formulary.verbs.work_at_bench import AtBench, at_bench, happened


@dataclass(frozen=True, slots=True)
class Made:
    """A preparation with its label prints and all that happened to it.

    ``work`` is None where it was started before work at the bench was kept. ``stands`` tells by the
    number of each signed event whether what was signed is unchanged since.
    """

    preparation: Preparation
    prints: tuple[LabelPrint, ...]
    kept: tuple[KeptCalculation, ...] = ()
    work: AtBench | None = None
    happened: tuple[Recorded, ...] = ()
    jars: tuple[FilledJar, ...] = ()
    complaints: tuple[Complaint, ...] = ()
    recalled: bool = False
    stands: Mapping[int, bool] = field(default_factory=dict)


def read_made(desk: Desk, lot: str) -> Made:
    """Return what the details show. Raises NotFound."""
    one, store = preparation_of(desk, lot), desk.store
    if one.stage is Stage.IN_WORK:
        one = replace(one, use_by=use_by_so_far(store, one.lot, one.use_by))
    work = _work(desk, one.lot)
    return Made(
        one,
        tuple(store.prints(one.id)),
        tuple(store.having(KeptCalculation, subject_id=one.id)),
        work,
        happened(work.events) if work is not None else (),
        tuple(sorted(store.having(FilledJar, preparation_id=one.id), key=lambda jar: jar.number)),
        complaints_of(store, one.id),
        one.id in reached_by(store.every(Recall)),
        standing(work.events, work.job) if work is not None else {},
    )


def _work(desk: Desk, lot: str) -> AtBench | None:
    try:
        return at_bench(desk.store, lot)
    except NotFound:
        return None
