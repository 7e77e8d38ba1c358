"""Finish a step of the method: what its lines' boats hold goes into the vessel of their phase."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from typing import Unpack

from formulary.bench.events import LineTransferred, StepDone
from formulary.bench.state import State
from formulary.bench.to_do import phase_vessel
from formulary.desk import Desk
from formulary.formula.content import Asked
from formulary.stock.certificate_file import require_picture
from formulary.store import Writing
from formulary.verbs.work_at_bench import AtBench, Backing, record


def finish_step(
    desk: Desk, lot: str, event: StepDone, *, photo: bytes = b"", **backing: Unpack[Backing]
) -> AtBench:
    """Record that a step is done, then each boat that was emptied for it.

    A phase whose vessel has no tare on record has no ledger, so nothing is said of it there. A
    photo that the step asks for is kept with it, and answered by its hash. Raises
    :class:`formulary.errors.Refusal` for a photo that is no picture.
    """
    if photo:
        require_picture(photo)

    def keep(writing: Writing, _after: AtBench) -> None:
        writing.keep_file(photo)

    shown = with_photo(event, photo) if photo else event
    after = record(desk, lot, shown, also=keep if photo else None, **backing)
    on_paper: Backing = {"original": backing["original"]} if "original" in backing else {}
    for line, vessel in emptied_by(after.state, event.step):
        after = record(desk, lot, LineTransferred(line, vessel), **on_paper)
    return after


def with_photo(event: StepDone, photo: bytes) -> StepDone:
    """Return the event with the hash of a photo in its answer."""
    digest = hashlib.sha256(photo).hexdigest()
    answers = tuple(
        replace(each, text=digest) if each.what is Asked.PHOTO else each for each in event.answers
    )
    return replace(event, answers=answers)


def photos_of(event: StepDone) -> tuple[str, ...]:
    """Return the hashes of the photos that were taken for a step."""
    return tuple(each.text for each in event.answers if each.what is Asked.PHOTO and each.text)


def emptied_by(state: State, step: int) -> tuple[tuple[int, str], ...]:
    """Return the lines of a step that are still in their own boats, each with its vessel."""
    plan = state.job.plan.lines
    found = (
        (each, phase_vessel(state, plan[each].line.phase))
        for each in state.job.method.steps[step].closes
        if state.lines[each].readings and state.lines[each].in_own_boat
    )
    return tuple((line, vessel) for line, vessel in found if vessel)
