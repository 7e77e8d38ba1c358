"""How long a formula lasts by rule, as a part of the leaf: the date, each limit, the working."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from formulary.catalogue import Catalogue
from formulary.finding import Severity
from formulary.messages import Message, Parameter, message
from formulary.shelf_life.asked import Candidate
from formulary.shelf_life.dating import Dated
from ui.formulas.reading import Shown

AREA = "ui_formulas.lasting"


def lasting_html(catalogue: Catalogue, shown: Shown) -> Iterator[str]:
    """Yield the part; nothing where only a draft is shown."""
    if shown.lasts is None and shown.undated is None:
        return
    words = _Words(catalogue)
    yield f"<h2>{words.text('heading')}</h2>"
    if shown.undated is not None:
        yield f"<p class='stop'>{words.said(shown.undated)}</p>"
    if shown.lasts is not None:
        yield from _dated(words, shown.lasts)


class _Words:
    """Sentences for HTML."""

    def __init__(self, catalogue: Catalogue) -> None:
        self._catalogue = catalogue

    def text(self, key: str, **parameters: Parameter) -> str:
        return self.said(message(f"{AREA}.{key}", **parameters))

    def said(self, what: Message) -> str:
        return escape(self._catalogue.text(what))

    def written(self, value: Parameter) -> str:
        return escape(self._catalogue.written(value)).replace(" ", "&nbsp;")


def _dated(words: _Words, lasts: Dated) -> Iterator[str]:
    key = "not_to_be_made" if lasts.stop else "use_by"
    yield f"<p>{words.text(key, end=lasts.use_by, bound=lasts.bound_by.said)}</p>"
    for finding in lasts.findings:
        word = words.said(message(f"ui.severity.{finding.severity.name.lower()}"))
        role = "stop" if finding.severity is Severity.STOP else "thought"
        yield f"<p class='{role}'>{word}: {words.said(finding.said)}</p>"
    yield "<table cellspacing='0' cellpadding='2' width='100%'>"
    for candidate in lasts.candidates:
        yield _limit(words, candidate)
    yield "</table>"
    yield f"<p class='note'>{words.text('working')}</p>"
    for step in lasts.working.steps:
        yield f"<p class='note'>{words.said(step)}</p>"


def _limit(words: _Words, candidate: Candidate) -> str:
    said = words.said(candidate.said)
    if candidate.source is not None:
        said += f"<br><span class='note'>{words.said(candidate.source)}</span>"
    aside = "" if candidate.counts else f" {words.text('aside')}"
    return (
        f"<tr><td>{said}</td><td align='right'>{words.written(candidate.last_day)}{aside}</td></tr>"
    )
