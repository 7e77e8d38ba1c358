"""The labels of a preparation, container by container: printed, destroyed, used, and what they say.

It is the list against which labels are reconciled and released.
"""

from __future__ import annotations

from collections.abc import Iterator

from formulary.bench.events import LabelsPrinted
from formulary.labels.jar_code import JAR_SIGN
from formulary.labels.page import Page
from formulary.papers.blocks import Block, Text, bold, heading, line, row, small
from formulary.papers.goods_part import labels
from formulary.papers.paging import paged
from formulary.papers.paper_head import About, paper_head
from formulary.papers.specimen_part import specimens
from formulary.papers.subject import Subject
from formulary.papers.words import Words, words_of

_JAR_MM = (40.0, 34.0, 28.0, 28.0, 50.0)
_COLUMNS = ("container", "net", "printed", "destroyed", "went_to")


def label_list(subject: Subject) -> tuple[Page, ...]:
    """Return the pages, A4. Raises Refusal for a sign that the fonts don't have."""
    words = words_of(subject.house)
    about = About(
        paper=words("label_list.paper"),
        title=subject.content.title,
        version=words("head.version", code=subject.content.code, number=subject.version),
        lot=subject.lot,
        no_lot=words("head.no_lot"),
        stamps=subject.stamps,
    )
    return paged(_parts(subject, words), paper_head(subject.house, about, subject.printed))


def _parts(subject: Subject, words: Words) -> Iterator[Block]:
    yield from _jars(subject, words)
    yield from labels(subject, words)
    yield from _again(subject, words)
    yield from specimens(subject, words)


def _jars(subject: Subject, words: Words) -> Iterator[Block]:
    titles = tuple(small(words(f"label_list.{each}")) for each in _COLUMNS)
    head = (heading(words("jars.title")), row(_JAR_MM, titles))
    counts = {each.jar: each for each in subject.state.labels}
    if not subject.state.jars:
        yield Block((line(Text(words("label_list.not_filled"))),), head)
    for jar in subject.state.jars:
        count = counts.get(jar.number)
        kind = jar.recipient.value if jar.recipient is not None else "shelf"
        texts = (
            bold(f"{subject.lot}{JAR_SIGN}{jar.number}"),
            Text(words.written(jar.net)),
            Text(words.written(count.printed if count else 0)),
            Text(words.written(count.void if count else 0)),
            small(words(f"label_list.went.{kind}")),
        )
        yield Block((row(_JAR_MM, texts),), head)


def _again(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield why labels were printed again."""
    head = (heading(words("label_list.again")),)
    for each in subject.events:
        event = each.event
        if isinstance(event, LabelsPrinted) and event.reason:
            by = words.signed(each.person, each.at)
            said = words("label_list.because", jars=event.jars, reason=event.reason, by=by)
            yield Block((line(Text(said)),), head)
