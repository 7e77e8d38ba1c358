"""What went otherwise, who acted alone, who signed, and everything that happened in its order."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.bench.events import (
    ContainersFilled,
    Corrected,
    Event,
    PlanChecked,
    Recorded,
    Released,
    SentForRelease,
)
from formulary.bench.stages import BEFORE_RELEASE
from formulary.bench.state import Deviation, Exemption
from formulary.bench.words import decision_said, named, said
from formulary.papers.blocks import (
    FULL_MM,
    Block,
    Strip,
    Text,
    bold,
    box,
    boxes,
    heading,
    line,
    row,
    small,
)
from formulary.papers.subject import Subject
from formulary.papers.words import Words

_EMPTY_DEVIATIONS = 2
_SIGNED_MM = (64.0, 46.0, 70.0)
_LOG_MM = (12.0, 38.0, 42.0, 88.0)
_TO_SIGN: dict[str, type[Event]] = {
    "plan_checked": PlanChecked,
    "made": ContainersFilled,
    "checked": SentForRelease,
    "released": Released,
}
"""What a worksheet asks to be signed, and the event by which somebody answers for it."""


def deviations(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield each deviation with its decision, and room for two before release."""
    head = (heading(words("deviations.title")),)
    for each in subject.state.deviations:
        yield Block((line(*_deviation(subject, each, words), above_mm=1.0),), head)
    if subject.state.stage not in BEFORE_RELEASE:
        if not subject.state.deviations:
            yield Block((line(Text(words("deviations.none"))),), head)
        return
    third = FULL_MM / 3
    for _ in range(_EMPTY_DEVIATIONS):
        captions = ("what", "impact", "decision")
        cells = (box(third, words(f"deviations.{each}")) for each in captions)
        yield Block((boxes(*cells, above_mm=1.0),), head)


def _deviation(subject: Subject, each: Deviation, words: Words) -> Iterator[Text]:
    category = named(each.category)
    yield bold(words("deviations.of", n=each.number, category=category, what=each.what))
    if each.impact:
        yield Text(words("deviations.impact_was", impact=each.impact))
    if each.is_open:
        yield bold(words("deviations.open"))
    else:
        who = subject.names.get(each.decided_by, each.decided_by)
        yield Text(words("deviations.decided", decision=decision_said(each), who=who))


def review(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield what the review found in the formula, and why a pharmacist let it stand."""
    head = (heading(words("review.title")),)
    for each in subject.overridings:
        by = each.signature
        given = words("review.given", reason=each.reason, by=words.signed(by.person, by.at))
        texts = (bold(words.text(each.said)), Text(given))
        yield Block((line(*texts, above_mm=0.8),), head)


def exemptions(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield what one person did alone, and what was corrected."""
    alone = (heading(words("exemptions.title")),)
    for each in subject.state.exemptions:
        yield Block((line(Text(_alone(each, words)), above_mm=0.8),), alone)
    head = (heading(words("corrections.title")),)
    for recorded in subject.state.corrections:
        if isinstance(recorded.event, Corrected):
            text = words(
                "corrections.one",
                said=said(recorded, subject.state),
                by=words.signed(recorded.person, recorded.at),
            )
            yield Block((line(Text(text), above_mm=0.8),), head)


def _alone(each: Exemption, words: Words) -> str:
    told = words("exemptions.one", act=each.act, who=each.person, at=each.at, why=each.because)
    if each.checked_at is None:
        return words("exemptions.unchecked", told=told)
    return words("exemptions.checked", told=told, at=each.checked_at)


def signatures(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield who answers for what, with name, date and time; rows to sign for what is still open.

    Who signed by their PIN, who made it and who called the record complete, each signed in as
    themselves, in the order in which that was. They are those whom the worksheet asks to sign.
    """
    title = heading(words("signatures.title"))
    head = (title, _signed_head(words))
    for each in subject.events:
        for what in _answered_for(subject, each, words):
            texts = (bold(each.doer), Text(words.written(each.done_at)), Text(what))
            yield Block((row(_SIGNED_MM, texts),), head)
    if subject.state.stage in BEFORE_RELEASE:
        for name in _still_to_sign(subject):
            yield Block((_to_sign(words(f"signatures.to_sign.{name}"), words),), (title,))


def _answered_for(subject: Subject, each: Recorded, words: Words) -> Iterator[str]:
    """Yield what somebody answers for by an event."""
    if each.signature is not None:
        meaning = words(f"signatures.meaning.{each.signature.meaning.name.lower()}")
        what = words("signatures.what", meaning=meaning, said=said(each, subject.state))
        alone = each.signature.alone_because
        yield words("signatures.alone", what=what, why=alone) if alone else what
    if each in _last_of_makers(subject):
        yield words("signatures.made")
    if isinstance(each.event, SentForRelease):
        yield words("signatures.complete")


def _last_of_makers(subject: Subject) -> tuple[Recorded, ...]:
    """Return the last thing that each maker did to it, up to the filled containers."""
    places = [i for i, e in enumerate(subject.events) if isinstance(e.event, ContainersFilled)]
    made = subject.events[: places[-1] + 1] if places else ()
    last = {each.done_by: each for each in made if each.done_by in subject.state.makers}
    return tuple(last.values())


def _still_to_sign(subject: Subject) -> Iterator[str]:
    """Yield what nobody answers for yet, by the names of :data:`_TO_SIGN`."""
    kinds = {type(each.event) for each in subject.events}
    return (name for name, kind in _TO_SIGN.items() if kind not in kinds)


def _signed_head(words: Words) -> Strip:
    names = ("name", "when", "meaning_is")
    return row(_SIGNED_MM, (*(small(words(f"signatures.{each}")) for each in names),))


def _to_sign(meaning: str, words: Words) -> Strip:
    name, when, width = _SIGNED_MM
    return boxes(
        box(name, words("signatures.name_and_signature")),
        box(when, words("signatures.when")),
        box(width, words("signatures.meaning_is"), Text(meaning)),
    )


def _who(each: Recorded, words: Words) -> str:
    if each.original is None:
        return each.person
    return words("log.entered", doer=each.doer, person=each.person, at=each.at)


def log(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield everything that happened, one entry a row; nothing is left out."""
    names = ("number", "when", "who", "what")
    columns = row(_LOG_MM, (*(small(words(f"log.{each}")) for each in names),))
    head = (heading(words("log.title")), columns)
    for each in subject.events:
        texts = (
            words.written(each.number),
            words.written(each.done_at),
            _who(each, words),
            words.text(said(each, subject.state)),
        )
        yield Block((row(_LOG_MM, (*map(small, texts),)),), head)
