"""What came of it: the bench cleared before, yield, tests, containers and labels."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from formulary.bench.events import (
    BenchCleared,
    ContainersFilled,
    LabelsPrinted,
    LabelsReconciled,
    LabelsVoided,
    QualityTested,
    Recorded,
    YieldTaken,
)
from formulary.bench.stages import BEFORE_RELEASE
from formulary.bench.true_strength import in_all
from formulary.bench.yield_of import USUAL
from formulary.formula.content import QualityTest
from formulary.messages import message
from formulary.papers.blocks import (
    FULL_MM,
    LARGE,
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
from formulary.papers.subject import Subject
from formulary.papers.words import Words
from formulary.preparation import LabelPrint
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient
from formulary.verbs.take_yield import yield_at_bench

_HALF, _THIRD = FULL_MM / 2, FULL_MM / 3
_TEST_MM, _FOUND_MM, _WHO_MM = 84.0, 52.0, 44.0
_JARS_IN_A_ROW = 6
_MOST_EMPTY_JARS = 24


def clearance(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield the tick list for the bench."""
    items = subject.state.job.clearance
    done = [each for each in subject.events if isinstance(each.event, BenchCleared)]
    if not items and not done:
        return
    mark = words("clearance.ticked" if done else "clearance.open")
    ticks = [Text(words("clearance.item", mark=mark, item=each), 12.0) for each in items]
    by = [Text(words.signed(each.person, each.at)) for each in done]
    strip = Strip((Cell(FULL_MM - _WHO_MM, tuple(ticks)), box(_WHO_MM, words("who"), *by)), 13.0)
    yield Block((strip,), (heading(words("clearance.title")),))


def goods(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield yield, tests, containers and labels."""
    yield Block(tuple(_yield(subject, words)), (heading(words("yield.title")),))
    yield from _tests(subject, words)
    yield from _jars(subject, words)
    yield from labels(subject, words)


def _yield(subject: Subject, words: Words) -> Iterator[Strip]:
    yield line(Text(words("yield.limits", least=USUAL.least, most=USUAL.most)))
    taken = [each for each in subject.events if isinstance(each.event, YieldTaken)]
    if not taken:
        yield boxes(
            box(_THIRD, words("yield.amount")),
            box(_THIRD, words("yield.percent", total=_in_all(subject))),
            box(_THIRD, words("who")),
            above_mm=1.0,
        )
    for each in taken:
        if isinstance(each.event, YieldTaken):
            amount = bold(words.written(each.event.amount), LARGE)
            verdict = words("yield.inside" if each.event.inside else "yield.outside")
            yield boxes(
                box(_THIRD, words("yield.amount"), amount),
                box(_THIRD, words("yield.verdict"), bold(verdict), Text(each.event.note)),
                box(_THIRD, words("who"), Text(words.signed(each.person, each.at))),
                above_mm=1.0,
            )
    yield from _yield_working(subject, words)


def _yield_working(subject: Subject, words: Words) -> Iterator[Strip]:
    """Yield how the yield was worked out, and what of it isn't in the containers."""
    taken = [each.event for each in subject.events if isinstance(each.event, YieldTaken)]
    if not taken:
        return
    said = [*yield_at_bench(subject.state, taken[-1].amount, taken[-1].residue).steps]
    filled = _filled(subject, taken[-1].amount)
    if filled is not None and filled <= taken[-1].amount.to(filled.unit):
        rest = convenient(taken[-1].amount.to(filled.unit) - filled)
        said.append(message("papers.yield.filled", filled=filled, rest=rest))
    yield line(*(small(words.text(each)) for each in said), above_mm=1.0)


def _in_all(subject: Subject) -> Amount:
    return convenient(in_all(subject.plan, subject.state.lines))


def _filled(subject: Subject, taken: Amount) -> Amount | None:
    """Return what the containers hold, None where none is filled or not by what was weighed."""
    filled = [jar.net for jar in subject.state.jars]
    kind = units.dimension(taken.unit)
    if not filled or any(units.dimension(each.unit) != kind for each in filled):
        return None
    total = filled[0]
    for each in filled[1:]:
        total += each
    return convenient(total)


def _tests(subject: Subject, words: Words) -> Iterator[Block]:
    head = (heading(words("tests.title")),)
    for test in subject.content.tests:
        yield Block((boxes(*_test(subject, test, words), above_mm=1.5),), head)


def _test(subject: Subject, test: QualityTest, words: Words) -> Iterator[Cell]:
    found = [
        (each, each.event)
        for each in subject.events
        if isinstance(each.event, QualityTested) and each.event.test == test.name
    ]
    yield Cell(_TEST_MM, (bold(test.name), Text(test.limits), small(test.when)))
    said = []
    for _, event in found:
        key = "tests.passed" if event.passed else "tests.failed"
        said += [Text(event.found), bold(words(key)), small(event.note)]
        if event.certificate is not None:
            file = event.certificate
            told = words("tests.certificate", name=file.name, hash=file.sha256[:12])
            said.append(small(told))
    yield box(_FOUND_MM, words("tests.found"), *said)
    by = (Text(words.signed(each.person, each.at)) for each, _ in found)
    yield box(_WHO_MM, words("who"), *by)


def _jars(subject: Subject, words: Words) -> Iterator[Block]:
    head = (heading(words("jars.title")),)
    numbered = {jar.number: words.written(jar.net) for jar in subject.state.jars}
    if not numbered:
        ordered = min(subject.state.job.containers, _MOST_EMPTY_JARS)
        numbered = dict.fromkeys(range(1, ordered + 1), "")
    width = FULL_MM / _JARS_IN_A_ROW
    cells = [
        box(width, words("jars.number", n=number), *((bold(net),) if net else ()))
        for number, net in numbered.items()
    ]
    ordered_said = line(Text(words("jars.ordered", n=subject.state.job.containers)))
    yield Block((ordered_said, *_goods_used(subject, words)), head)
    for at in range(0, len(cells), _JARS_IN_A_ROW):
        yield Block((boxes(*cells[at : at + _JARS_IN_A_ROW]),), head)


def _goods_used(subject: Subject, words: Words) -> Iterator[Strip]:
    for each in subject.events:
        if isinstance(each.event, ContainersFilled) and each.event.goods:
            event = each.event
            yield line(Text(words("jars.goods", goods=event.goods, lot=event.goods_lot or "-")))


def _beside(each: LabelPrint) -> tuple[tuple[str, int], ...]:
    """Return what went out with labels, and by which version of the house's layout."""
    return ("leaflets", each.leaflets), ("layout", each.layout)


def _since(events: Iterable[Recorded], words: Words) -> Iterator[str]:
    """Yield what was printed or destroyed of labels after they were reconciled, and why."""
    counted = False
    for each in events:
        event, by = each.event, words.signed(each.person, each.at)
        counted = counted or isinstance(event, LabelsReconciled)
        if counted and isinstance(event, LabelsPrinted):
            jars, why = event.jars, event.reason
            yield words("labels.printed_since", n=len(jars), jars=jars, reason=why, by=by)
        elif counted and isinstance(event, LabelsVoided):
            jar, why = event.jar, event.reason
            yield words("labels.destroyed_since", n=event.count, jar=jar, reason=why, by=by)


def labels(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield each print of labels, and their count against the containers."""
    head = (heading(words("labels.title")),)
    for each in subject.prints:
        key = "labels.proof" if each.proof else "labels.print"
        said = words(key, n=each.copies, stock=each.stock, by=each.printed_by, at=each.printed_at)
        beside = (words(f"labels.{name}", n=n) for name, n in _beside(each) if n)
        yield Block(tuple(line(Text(one)) for one in (said, *beside)), head)
    counted = [each.event for each in subject.events if isinstance(each.event, LabelsReconciled)]
    for event in counted:
        said = words(
            "labels.counted",
            printed=event.used + event.destroyed + event.spare,
            used=event.used,
            destroyed=event.destroyed,
            spare=event.spare,
        )
        yield Block((line(bold(said)),), head)
    yield from (Block((line(Text(said)),), head) for said in _since(subject.events, words))
    if not counted and subject.state.stage in BEFORE_RELEASE:
        quarter = FULL_MM / 4
        names = ("printed", "used", "destroyed", "spare")
        empty = boxes(*(box(quarter, words(f"labels.{name}")) for name in names), above_mm=1.0)
        yield Block((empty,), head)
