"""The vessel ledger: tare, gross, net, water restored, and what was lost."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.bench.events import Recorded, VesselTared, VesselWeighed, WaterRestored
from formulary.bench.pouring import meetings
from formulary.bench.stages import BEFORE_RELEASE
from formulary.bench.state import State
from formulary.bench.vessel import ledger_of, lost
from formulary.errors import Refusal
from formulary.papers.blocks import Block, Cell, Text, bold, box, boxes, heading, line
from formulary.papers.subject import Subject
from formulary.papers.words import Words

_MM = (48.0, 28.0, 28.0, 28.0, 48.0)
_CAPTIONS = ("vessel", "tare", "gross", "net", "who")
_EMPTY_ROWS = 2


def vessels(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield a row for each weighing of a vessel, and empty ones before the work is done."""
    head = (heading(words("vessels.title")),)
    rows = [_row(subject.state, each, words) for each in subject.events if _is_about(each)]
    for each in rows:
        yield Block((boxes(*_cells(words, each)),), head)
    if not rows and subject.state.stage in BEFORE_RELEASE:
        for _ in range(_EMPTY_ROWS):
            yield Block((boxes(*_cells(words, ("",) * len(_MM))),), head)
    said = (*_together(subject, words), *_losses(subject, words))
    if said:
        yield Block((line(*said, above_mm=1.0),), head)


def _cells(words: Words, texts: tuple[str, ...]) -> Iterator[Cell]:
    for width, name, text in zip(_MM, _CAPTIONS, texts, strict=True):
        yield box(width, words(f"vessels.{name}"), *((Text(text),) if text else ()))


def _is_about(recorded: Recorded) -> bool:
    return isinstance(recorded.event, VesselTared | VesselWeighed | WaterRestored)


def _row(state: State, recorded: Recorded, words: Words) -> tuple[str, ...]:
    by = words.signed(recorded.person, recorded.at)
    match recorded.event:
        case VesselTared(vessel, tare):
            return vessel, words.written(tare), "", "", by
        case VesselWeighed(vessel, gross):
            known = state.vessel(vessel)
            net = words.written(gross - known.tare) if known else ""
            return vessel, "", words.written(gross), net, by
        case WaterRestored(vessel, amount):
            return vessel, words("vessels.water", amount=amount), "", "", by
    return ("",) * len(_MM)


def _together(subject: Subject, words: Words) -> Iterator[Text]:
    """Yield at which step the contents of vessels came together, and how much that is."""
    for each in meetings(subject.state):
        first, *others = each.vessels
        try:
            net = ledger_of(subject.state, subject.plan, first, others).expected
        except Refusal as refusal:
            yield Text(words.text(refusal.message))
            continue
        yield Text(words("vessels.together", n=each.step + 1, vessels=each.vessels, net=net))


def _losses(subject: Subject, words: Words) -> tuple[Text, ...]:
    """Return what a vessel lost that everything went into.

    Of any other it isn't on record what was poured over, so no loss is worked out.
    """
    state = subject.state
    took_all = [
        each
        for each in state.vessels
        if each.gross and all(line.vessel == each.name for line in state.lines if line.readings)
    ]
    if not took_all:
        return ()
    try:
        found = lost(ledger_of(state, subject.plan, took_all[0].name))
    except Refusal as refusal:
        return (Text(words.text(refusal.message)),)
    return tuple(bold(words.text(each)) for each in found.steps)
