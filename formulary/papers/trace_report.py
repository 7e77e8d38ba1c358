"""The trace report: whom to call, what is still here, what went in and what came of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from formulary.bench.stages import named
from formulary.house import House
from formulary.labels.page import Page
from formulary.messages import message
from formulary.papers.blocks import (
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
    row,
    small,
)
from formulary.papers.paging import paged
from formulary.papers.paper_head import About, paper_head, sample_stamps
from formulary.papers.printed import Printed
from formulary.papers.words import Words, words_of
from formulary.tracing import Delivery, Node, Sort, Trace
from formulary.verbs.read_trace import TraceSeen
from formulary.verbs.recall_lot import ToCall

_MADE_MM = (34.0, 74.0, 36.0, 36.0)
_WHO_MM, _JARS_MM, _CALLED_MM = 60.0, 60.0, 60.0
_SOURCES = (Sort.SUPPLIER, Sort.LOT, Sort.CONTAINER)


@dataclass(frozen=True, slots=True)
class TraceSubject:
    """What the report is of; ``names`` are the patients by their ids, empty for who may not."""

    house: House
    seen: TraceSeen
    names: Mapping[str, ToCall]
    printed: Printed


def trace_report(subject: TraceSubject) -> tuple[Page, ...]:
    """Return the pages, A4. Raises Refusal for a sign that the fonts don't have."""
    words = words_of(subject.house)
    seen = subject.seen
    about = About(
        paper=words("trace.paper"),
        title=words("trace.title", what=seen.typed),
        version=words("trace.starts", starts=tuple(_said(seen, n, words) for n in seen.starts)),
        stamps=sample_stamps(subject.house),
    )
    head = paper_head(subject.house, about, subject.printed)
    return paged(_parts(subject, words), head)


def _parts(subject: TraceSubject, words: Words) -> Iterator[Block]:
    yield from _to_call(subject, words)
    yield from _still_here(subject.seen, words)
    yield from _made(subject.seen, subject.seen.forward, "trace.made", words)
    yield from _sources(subject.seen, words)
    yield from _made(subject.seen, subject.seen.backward, "trace.made_of", words)


def _to_call(subject: TraceSubject, words: Words) -> Iterator[Block]:
    head = (heading(words("trace.to_call")),)
    deliveries = subject.seen.forward.to_call
    if not deliveries:
        yield Block((line(Text(words("trace.nobody_to_call"))),), head)
    elif not subject.names and any(_is_patient(each) for each in deliveries):
        yield Block((line(small(words("trace.names_kept_back"))),), head)
    for each in deliveries:
        known = subject.names.get(each.recipient.id)
        who = known.name if known else _anonymous(each, words)
        telephone = known.telephone if known else ""
        said = [bold(who, LARGE), small(words(f"trace.{each.recipient.sort.value}"))]
        if telephone:
            said.insert(1, Text(words("trace.telephone", telephone=telephone)))
        jars = ", ".join(jar.name for jar in each.jars)
        cells = (
            Cell(_WHO_MM, tuple(said)),
            Cell(_JARS_MM, (Text(jars),)),
            box(_CALLED_MM, words("trace.called")),
        )
        yield Block((boxes(*cells, above_mm=1.0),), head)


def _is_patient(delivery: Delivery) -> bool:
    return delivery.recipient.sort is Sort.PATIENT


def _anonymous(delivery: Delivery, words: Words) -> str:
    recipient = delivery.recipient
    if recipient.sort is Sort.WARD:
        return recipient.name or recipient.id
    return words("trace.a_patient")


def _still_here(seen: TraceSeen, words: Words) -> Iterator[Block]:
    jars = seen.forward.not_handed_over
    if jars:
        said = ", ".join(sorted((jar.name for jar in jars), key=lambda name: (len(name), name)))
        yield Block((line(Text(said)),), (heading(words("trace.not_handed_over")),))


def _made(seen: TraceSeen, found: Trace, key: str, words: Words) -> Iterator[Block]:
    nodes = [node for node in found.preparations if node not in found.starts]
    if not nodes:
        return
    titles = tuple(words(f"trace.column.{each}") for each in ("lot", "formula", "made", "stage"))
    head = (heading(words(key)), row(_MADE_MM, tuple(map(small, titles))))
    for node in nodes:
        yield Block((_preparation(seen, node, words),), head)


def _preparation(seen: TraceSeen, node: Node, words: Words) -> Strip:
    made = seen.made.get(node.id)
    if made is None:
        return row(_MADE_MM, (bold(node.name), Text(""), Text(""), Text("")))
    texts = (
        bold(node.name),
        Text(made.title),
        Text(words.written(made.made_on)),
        Text(words.text(named(made.stage))),
    )
    return row(_MADE_MM, texts)


def _sources(seen: TraceSeen, words: Words) -> Iterator[Block]:
    nodes = [node for node in seen.backward.of(*_SOURCES) if node not in seen.starts]
    if nodes:
        strips = tuple(line(Text(said)) for said in _sorted(seen, nodes, words))
        yield Block(strips, (heading(words("trace.came_from")),))


def _sorted(seen: TraceSeen, nodes: Iterable[Node], words: Words) -> Iterator[str]:
    places = {sort: place for place, sort in enumerate(_SOURCES)}
    for node in sorted(nodes, key=lambda each: (places[each.sort], each.name)):
        yield _said(seen, node, words)


def _said(seen: TraceSeen, node: Node, words: Words) -> str:
    title = seen.titles.get(node.id, "")
    said = words.text(message(f"stock.trace.{node.sort.value}"))
    named_so = words("trace.node", sort=said, name=node.name or node.id)
    return words("trace.titled", node=named_so, title=title) if title else named_so
