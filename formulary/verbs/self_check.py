"""Look again, some time later, at what one did alone; and what still waits for that."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from formulary.bench.events import SelfChecked
from formulary.bench.kept import AloneAct
from formulary.desk import Desk
from formulary.messages import Message
from formulary.store import Reading
from formulary.verbs.work_at_bench import AtBench, at_bench, record


@dataclass(frozen=True, slots=True)
class OpenCheck:
    """An act that waits for its person to look at it again, from ``due`` on."""

    lot: str
    title: str
    event: int
    act: Message
    because: str
    done_at: datetime
    due: datetime


def open_self_checks(store: Reading, person_id: str) -> tuple[OpenCheck, ...]:
    """Return what a person did alone and hasn't looked at again, oldest first."""
    waiting = store.having(AloneAct, waits_for=person_id)
    work = {lot: at_bench(store, lot) for lot in {each.lot for each in waiting}}
    found = (_open(work[each.lot], each.event) for each in waiting)
    return tuple(sorted(found, key=lambda each: (each.done_at, each.lot, each.event)))


def self_check(desk: Desk, lot: str, event: int, pin: str) -> AtBench:
    """Sign that one looked again at an act done alone.

    Raises :class:`formulary.errors.Refusal` too soon after it, and
    :class:`formulary.errors.Forbidden` for anybody else's act.
    """
    return record(desk, lot, SelfChecked(event), pin=pin)


def _open(work: AtBench, event: int) -> OpenCheck:
    exemption = next(each for each in work.state.exemptions if each.event == event)
    return OpenCheck(
        lot=work.preparation.lot,
        title=work.preparation.title,
        event=event,
        act=exemption.act,
        because=exemption.because,
        done_at=exemption.at,
        due=exemption.at + timedelta(minutes=work.state.job.self_check_minutes),
    )
