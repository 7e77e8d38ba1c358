"""What is weighed: a card for each line with its target, its working and what was done."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from formulary.bench.drops import DropCount
from formulary.bench.events import (
    ContainerRefused,
    DropsAdded,
    LineChecked,
    LineDecided,
    LineWeighed,
    MixtureMade,
    Recorded,
)
from formulary.bench.reading import Reading, Taking, as_read
from formulary.bench.stages import BEFORE_RELEASE
from formulary.bench.true_strength import true_strengths
from formulary.bench.weighing import LineState, is_finished, shown, verdict_said, window
from formulary.bench.words import said
from formulary.errors import Refusal
from formulary.house import Balance, Measure
from formulary.messages import message
from formulary.papers.blocks import (
    BODY,
    FULL_MM,
    LARGE,
    TARGET,
    Align,
    Block,
    Cell,
    Strip,
    Text,
    bold,
    box,
    boxes,
    heading,
    line,
    small,
)
from formulary.papers.facts import finding_said
from formulary.papers.subject import Subject
from formulary.papers.words import Words
from formulary.quantity.amount import Amount
from formulary.quantity.rounding import round_down_to, round_half_even_to, round_up_to
from formulary.scaling.plan import PlannedLine

_NUMBER_MM, _TARGET_MM = 10.0, 66.0
_CONTAINER_MM, _WEIGHED_MM, _WHO_MM, _CHECK_MM = 58.0, 50.0, 36.0, 36.0


def weighing(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield a card for each line, in the order of the formula, and the true strengths so far."""
    head = (heading(words("weighing.title")),)
    for position in range(len(subject.state.lines)):
        yield Block(tuple(_card(subject, position, words)), head)
    strengths = tuple(_strengths(subject, words))
    if strengths:
        yield Block((line(*strengths, above_mm=2.0),), head)


def _card(subject: Subject, position: int, words: Words) -> Iterator[Strip]:
    yield _what(subject, position, words)
    drops = next((each for each in subject.state.drops if each.line == position), None)
    if drops is not None:
        yield line(bold(_drops_said(drops, words)), indent_mm=_NUMBER_MM)
    yield from _done(subject, position, words)
    state = subject.state.lines[position]
    if _is_open(subject, state):
        yield _to_fill_in(state, words)


def _what(subject: Subject, position: int, words: Words) -> Strip:
    planned = subject.plan.lines[position]
    number = Cell(_NUMBER_MM, (bold(words("weighing.number", n=position + 1), LARGE),))
    name = Cell(FULL_MM - _NUMBER_MM - _TARGET_MM, tuple(_named(subject, position, words)))
    target = Cell(
        _TARGET_MM, tuple(_target(subject, planned, subject.state.lines[position], words))
    )
    return Strip((number, name, target), above_mm=3.0, ruled=position > 0)


def _named(subject: Subject, position: int, words: Words) -> Iterator[Text]:
    planned, state = subject.plan.lines[position], subject.state.lines[position]
    written = planned.line
    yield bold(written.ingredient, LARGE)
    phase = words("weighing.phase", phase=written.phase) if written.phase else ""
    role = words.text(message(f"formula.role.{written.role.name.lower()}"))
    yield small(", ".join(filter(None, (role, phase, written.grade))))
    if written.note:
        yield small(written.note)
    if state.high_alert:
        yield bold(words("weighing.high_alert"))
    if state.controlled:
        yield bold(words("weighing.controlled"))
    if state.needs_check:
        yield bold(words("weighing.needs_check"))
    yield from (small(words.text(each)) for each in planned.working)
    yield from (bold(finding_said(each, words)) for each in planned.findings)


def _target(
    subject: Subject, planned: PlannedLine, state: LineState, words: Words
) -> Iterator[Text]:
    for text in _figures(subject, planned, words):
        yield Text(text.text, text.size_pt, text.weight, Align.RIGHT)
    now = window(state)
    if state.raised != 1 and now is not None:
        step = _step(subject, planned)
        target = shown(now.target) if step is None else round_half_even_to(now.target, step)
        raised = words("weighing.made_good", target=target)
        yield Text(raised, LARGE, align=Align.RIGHT)


def _readable(
    subject: Subject, planned: PlannedLine, low: Amount, high: Amount
) -> tuple[Amount, Amount]:
    """Return the ends of a band as the instrument can show them, rounded towards its inside.

    So no reading that is right by the paper lies outside the band.
    """
    step = _step(subject, planned)
    if step is None:
        return shown(low), shown(high)
    return round_up_to(low, step), round_down_to(high, step)


def _step(subject: Subject, planned: PlannedLine) -> Amount | None:
    """Return the readability of a line's instrument, None where it isn't known."""
    house = subject.house
    instruments: tuple[Balance | Measure, ...] = (*house.balances, *house.measures)
    return next((e.readability for e in instruments if e.name == planned.instrument), None)


def _figures(subject: Subject, planned: PlannedLine, words: Words) -> Iterator[Text]:
    if planned.to_measure is None:
        key = "as_needed" if planned.required is None else "not_measurable"
        yield bold(words(f"weighing.{key}"), LARGE)
        return
    if planned.up_to:
        yield Text(words("weighing.up_to"))
    yield bold(words.written(planned.to_measure), TARGET)
    if planned.sub_plan is not None:
        way = planned.sub_plan.way.name.lower()
        yield Text(words(f"weighing.way.{way}"))
    if planned.band is not None:
        band = planned.band
        low, high = _readable(subject, planned, band.low, band.high)
        yield Text(words("weighing.band", low=low, high=high, percent=band.percent))
    if planned.instrument:
        yield small(words("weighing.on", instrument=planned.instrument))


def _drops_said(drops: DropCount, words: Words) -> str:
    return words("weighing.drops", n=drops.wanted, lowest=drops.lowest, highest=drops.highest)


def _is_open(subject: Subject, state: LineState) -> bool:
    return subject.state.stage in BEFORE_RELEASE and not is_finished(state)


def _to_fill_in(state: LineState, words: Words) -> Strip:
    checked = (
        "checked"
        if state.needs_check
        else "witnessed"
        if state.high_alert or state.controlled
        else "left_over"
    )
    return boxes(
        box(_CONTAINER_MM, words("weighing.container")),
        box(_WEIGHED_MM, words("weighing.weighed")),
        box(_WHO_MM, words("weighing.who")),
        box(_CHECK_MM, words(f"weighing.{checked}")),
        above_mm=1.5,
    )


def _done(subject: Subject, position: int, words: Words) -> Iterator[Strip]:
    about = _about(subject.events, position)
    for each in about:
        if isinstance(each.event, LineWeighed):
            yield _weighed(subject, each, each.event.reading, words)
        else:
            text = words("weighing.then", said=said(each, subject.state), by=_by(each, words))
            yield line(Text(text), above_mm=0.8, indent_mm=_NUMBER_MM)
    if any(isinstance(each.event, LineWeighed) for each in about):
        verdict = bold(words.text(verdict_said(subject.state.lines[position])), BODY)
        yield line(verdict, above_mm=0.8, indent_mm=_NUMBER_MM)


def _about(events: Iterable[Recorded], position: int) -> list[Recorded]:
    kinds = (ContainerRefused, MixtureMade, LineWeighed, LineChecked, LineDecided, DropsAdded)
    return [
        each for each in events if isinstance(each.event, kinds) and each.event.line == position
    ]


def _weighed(subject: Subject, recorded: Recorded, reading: Reading, words: Words) -> Strip:
    witness = subject.names.get(reading.witness_id, reading.witness_id)
    return boxes(
        box(_CONTAINER_MM, words("weighing.container"), *_from(subject, reading, words)),
        box(_WEIGHED_MM, words("weighing.weighed"), *_read(reading, words)),
        box(_WHO_MM, words("weighing.who"), Text(_by(recorded, words))),
        box(_CHECK_MM, words("weighing.witnessed"), Text(witness or words("weighing.no_witness"))),
        above_mm=1.5,
    )


def _from(subject: Subject, reading: Reading, words: Words) -> Iterator[Text]:
    if reading.container:
        key = "typed_container" if reading.typed_container else "scanned_container"
        yield Text(words(f"weighing.{key}", container=reading.container))
    if reading.lot:
        yield Text(words("weighing.lot", lot=reading.lot))
    lot = subject.lots.get(reading.container)
    if lot is not None:
        makers = tuple(dict.fromkeys(filter(None, (lot.supplier, lot.maker))))
        yield small(words("weighing.source", makers=makers, until=lot.expiry.last_day))
    if reading.factor != 1:
        yield small(words("weighing.factor", factor=reading.factor))


def _read(reading: Reading, words: Words) -> Iterator[Text]:
    if reading.taking is Taking.LEFT:
        yield Text(words("weighing.left_after_waste"))
    yield bold(words.written(as_read(reading.amount, (reading,))), LARGE)
    if reading.tare is not None and reading.gross is not None:
        yield small(words("weighing.tare_gross", tare=reading.tare, gross=reading.gross))
    typed = words("weighing.typed") if reading.manual else ""
    yield small(", ".join(filter(None, (reading.balance, typed))))
    if reading.raw:
        yield small(words("weighing.raw", raw=reading.raw))


def _by(recorded: Recorded, words: Words) -> str:
    return words.signed(recorded.person, recorded.at)


def _strengths(subject: Subject, words: Words) -> Iterator[Text]:
    if not any(each.readings for each in subject.state.lines):
        return
    try:
        found = true_strengths(subject.plan, subject.state.lines, subject.state.job.reads)
    except Refusal as refusal:
        yield Text(words.text(refusal.message))
        return
    for each in found:
        yield bold(words.text(each.said))
