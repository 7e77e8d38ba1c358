"""The lists of an inspection pack: register, deviations, recalls, changes, checks, people."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from formulary.bench.balance_checks import check_said
from formulary.bench.stages import named as stage_named
from formulary.bench.state import Deviation
from formulary.bench.words import decision_said, named
from formulary.desk import Desk
from formulary.formula.difference import difference
from formulary.formula.version import Version
from formulary.house import House
from formulary.labels.page import Page
from formulary.messages import message
from formulary.papers.blocks import Block, Strip, Text, bold, heading, line, row, small
from formulary.papers.paging import paged
from formulary.papers.paper_head import About, paper_head, sample_stamps
from formulary.papers.printed import Printed, printed_now
from formulary.papers.words import Words
from formulary.people import Person
from formulary.preparation import Preparation
from formulary.register.shelf import reached_by
from formulary.review.overriding import Overriding
from formulary.stock.lot import SupplyLot
from formulary.stock.recall import Recall
from formulary.store import RegisterRow
from formulary.verbs.list_register import mark_of
from formulary.verbs.list_reviews import standing_before
from formulary.verbs.read_period import PeriodSeen

_MADE_MM = (34.0, 66.0, 26.0, 26.0, 28.0)
_COLUMNS = ("lot", "formula", "made", "use_by", "stage")


@dataclass(frozen=True, slots=True)
class PackSubject:
    """A period with what its lists say beside it.

    ``before`` is the version that each changed one took the place of, by its id, ``lots`` the
    numbers of recalled lots by their ids, ``recalled`` the ids of preparations that a recall
    reached, ``reached`` those that the period's recalls follow, by their ids, ``deviations`` those
    of each preparation by its lot, ``reasons`` those given for findings of a version by its id.
    """

    house: House
    seen: PeriodSeen
    people: tuple[Person, ...]
    before: Mapping[str, Version]
    lots: Mapping[str, str]
    printed: Printed
    recalled: frozenset[str] = frozenset()
    reached: Mapping[str, Preparation] = field(default_factory=dict)
    deviations: Mapping[str, tuple[Deviation, ...]] = field(default_factory=dict)
    reasons: Mapping[str, tuple[Overriding, ...]] = field(default_factory=dict)

    def name(self, person_id: str) -> str:
        """Return the name of somebody of the house."""
        return next((each.name for each in self.people if each.id == person_id), person_id)


def in_pack(desk: Desk, seen: PeriodSeen) -> PackSubject:
    """Return a period with what its lists need."""
    recalled = {lot_id for each in seen.recalls for lot_id in each.lot_ids}
    return PackSubject(
        house=desk.house,
        seen=seen,
        people=tuple(desk.store.every(Person)),
        before=dict(_before(desk, seen.versions)),
        lots={each.id: each.number for each in desk.store.having_any(SupplyLot, "id", recalled)},
        printed=printed_now(desk),
        recalled=reached_by(desk.store.every(Recall)),
        reached=_reached(desk, seen.recalls),
        reasons=_reasons(desk, seen.versions),
    )


def _reached(desk: Desk, recalls: Iterable[Recall]) -> dict[str, Preparation]:
    ids = {one for each in recalls for one in (*each.reach.made, *each.reach.open_work)}
    return {each.id: each for each in desk.store.having_any(Preparation, "id", ids)}


def _reasons(desk: Desk, versions: Iterable[Version]) -> dict[str, tuple[Overriding, ...]]:
    ids = [each.id for each in versions]
    found: dict[str, tuple[Overriding, ...]] = {}
    for each in desk.store.having_any(Overriding, "version_id", ids):
        found[each.version_id] = (*found.get(each.version_id, ()), each)
    return found


def _before(desk: Desk, versions: Iterable[Version]) -> Iterator[tuple[str, Version]]:
    for each in versions:
        known = desk.store.versions(each.formula_id)
        earlier = standing_before([one for one in known if one.number <= each.number])
        if earlier is not None:
            yield each.id, earlier


def list_pages(subject: PackSubject, key: str, words: Words) -> tuple[Page, ...]:
    """Return the pages of one list. Raises Refusal for a sign that the fonts don't have."""
    days = subject.seen.days
    about = About(
        paper=words("pack.paper"),
        title=words(f"pack.{key}"),
        version=words("pack.title", first=days.first, last=days.last),
        no_lot=words("pack.every_lot"),
        stamps=sample_stamps(subject.house),
    )
    blocks = list(LISTS[key](subject, words))
    nothing = Block((line(Text(words("pack.nothing"))),))
    return paged(blocks or [nothing], paper_head(subject.house, about, subject.printed))


def _register(subject: PackSubject, words: Words) -> Iterator[Block]:
    head = (row(_MADE_MM, tuple(small(words(f"pack.column.{each}")) for each in _COLUMNS)),)
    for each in subject.seen.made:
        texts = (
            bold(each.lot),
            Text(each.title),
            Text("" if each.made is None else words.written(each.made)),
            Text("" if each.lasts_until is None else words.written(each.lasts_until)),
            Text(_stage(subject, each, words)),
        )
        yield Block((row(_MADE_MM, texts),), head)


def _stage(subject: PackSubject, made: RegisterRow, words: Words) -> str:
    """Return where a preparation stands, and whether a recall reached it by now."""
    mark = mark_of(made.stage, recalled=made.preparation_id in subject.recalled)
    said = (stage_named(made.stage), *((mark,) if mark is not None else ()))
    return ", ".join(map(words.text, said))


def _deviations(subject: PackSubject, words: Words) -> Iterator[Block]:
    for lot, deviations in subject.deviations.items():
        for each in deviations:
            yield Block(tuple(_deviation(subject, each, words)), (heading(lot),))


def _deviation(subject: PackSubject, each: Deviation, words: Words) -> Iterator[Strip]:
    category = named(each.category)
    texts = [bold(words("deviations.of", n=each.number, category=category, what=each.what))]
    if each.impact:
        texts.append(Text(words("deviations.impact_was", impact=each.impact)))
    if each.is_open:
        texts.append(bold(words("deviations.open")))
    else:
        who = subject.name(each.decided_by)
        texts.append(Text(words("deviations.decided", decision=decision_said(each), who=who)))
    yield line(*texts, above_mm=1.0)


def _complaints(subject: PackSubject, words: Words) -> Iterator[Block]:
    lots = {each.preparation_id: each.lot for each in subject.seen.made}
    for each in subject.seen.complaints:
        nature = message(f"register.nature.{each.nature.name.lower()}")
        lot = lots.get(each.preparation_id, words("pack.earlier_lot"))
        texts = [
            bold(words("pack.complaint", nature=nature, lot=lot, at=each.at)),
            Text(each.what),
        ]
        if each.decided is None:
            texts.append(bold(words("deviations.open")))
        else:
            by = words.signed(each.decided.person, each.decided.at)
            texts.append(Text(words("pack.decided", decision=each.decision, by=by)))
        yield Block((line(*texts, above_mm=1.0),))


def _recalls(subject: PackSubject, words: Words) -> Iterator[Block]:
    for each in subject.seen.recalls:
        lots = tuple(subject.lots.get(lot_id, lot_id) for lot_id in each.lot_ids)
        key = "practice_recall" if each.practice else "recall"
        texts = [
            bold(words(f"pack.{key}", lots=lots)),
            Text(each.reason),
            small(words("pack.begun", by=words.signed(each.begun.person, each.begun.at))),
            Text(_followed(subject, each, words)),
            Text(
                words(
                    "pack.reached",
                    n=len(each.contacts),
                    settled=sum(one.settled for one in each.contacts),
                )
            ),
        ]
        if each.closed is None:
            texts.append(bold(words("pack.still_open")))
        else:
            by = words.signed(each.closed.person, each.closed.at)
            texts.append(Text(words("pack.closed", finding=each.finding, by=by)))
        yield Block((line(*texts, above_mm=1.0),))


def _followed(subject: PackSubject, recall: Recall, words: Words) -> str:
    """Return the preparations that a recalled lot went into, by their lots."""
    ids = (*recall.reach.made, *recall.reach.open_work)
    found = sorted((subject.reached[each] for each in ids), key=lambda made: made.lot)
    said = tuple(words("pack.followed_one", lot=made.lot, title=made.title) for made in found)
    return words("pack.followed", made=said) if said else words("pack.followed_none")


def _versions(subject: PackSubject, words: Words) -> Iterator[Block]:
    """Yield each version written or put in use, why, and what differs from the one before."""
    for each in subject.seen.versions:
        content = each.content
        named_so = words("head.version", code=content.code, number=each.number)
        head = (heading(words("pack.version", title=content.title, version=named_so)),)
        state = words.text(message(f"formula.state.{each.state.name.lower()}"))
        texts = [Text(state), *([Text(each.reason)] if each.reason else [])]
        for part, person, at in (
            ("written_by", each.author_id, each.written_at),
            ("approved_by", each.approver_id, each.approved_at),
        ):
            if person and at is not None:
                by = words.signed(subject.name(person), at)
                texts.append(small(words("sheet.by", part=words(f"sheet.{part}"), by=by)))
        for given in subject.reasons.get(each.id, ()):
            by = words.signed(given.signature.person, given.signature.at)
            texts.append(small(words.text(given.said)))
            texts.append(Text(words("review.given", reason=given.reason, by=by)))
        yield Block((line(*texts),), head)
        yield from _changes(subject, each, head, words)


def _changes(
    subject: PackSubject, version: Version, head: tuple[Strip, ...], words: Words
) -> Iterator[Block]:
    before = subject.before.get(version.id)
    if before is None:
        return
    sign = subject.house.decimal_sign
    for each in difference(before.content, version.content, sign):
        was, now = each.before or words("pack.nothing_there"), each.after
        said = words("pack.change", place=each.place, was=was, now=now or words("pack.left_out"))
        yield Block((line(Text(said), indent_mm=4.0),), head)


def _checks(subject: PackSubject, words: Words) -> Iterator[Block]:
    for each in subject.seen.checks:
        verdict = words.text(check_said(each.check))
        by = words.signed(subject.name(each.check.person_id), each.check.at)
        text = words("pack.check", verdict=verdict, by=by)
        yield Block((line(Text(text) if each.check.good else bold(text), above_mm=0.5),))


def _equipment(subject: PackSubject, words: Words) -> Iterator[Block]:
    house = subject.house
    head = (heading(words("pack.instruments")),)
    for each in house.balances:
        due = words.written(each.calibration_due) if each.calibration_due else ""
        yield _due(each.name, due, head, words)
    for instrument in house.instruments:
        due = words.written(instrument.due) if instrument.due else ""
        yield _due(instrument.name, due, head, words)
    log = (heading(words("pack.log")),)
    for note in subject.seen.notes:
        yield Block((line(Text(words.text(note.said))),), log)


def _due(name: str, due: str, head: tuple[Strip, ...], words: Words) -> Block:
    said = words("pack.due", due=due) if due else words("pack.no_due")
    return Block((row((90.0, 90.0), (bold(name), Text(said))),), head)


def _training(subject: PackSubject, words: Words) -> Iterator[Block]:
    for person in subject.people:
        post = message(f"ui.post.{person.post.value}")
        key = "person_gone" if person.gone else "person"
        texts = [bold(words(f"pack.{key}", name=person.name, post=post))]
        for each in subject.house.trainings:
            if each.person_id == person.id:
                task = message(f"equipment.task.{each.task.name.lower()}")
                late = each.review_due < subject.seen.days.last
                said = words("pack.trained", task=task, due=each.review_due)
                texts.append(bold(words("pack.overdue", said=said)) if late else Text(said))
        yield Block((line(*texts, above_mm=1.0),))


LISTS: dict[str, Callable[[PackSubject, Words], Iterator[Block]]] = {
    "register": _register,
    "deviations": _deviations,
    "complaints": _complaints,
    "recalls": _recalls,
    "versions": _versions,
    "checks": _checks,
    "equipment": _equipment,
    "training": _training,
}
"""Every list by its name in the catalogue, in the order of the pack; records follow the first."""
