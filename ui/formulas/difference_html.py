"""What changed between two versions, as the HTML that Qt's text documents know."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from html import escape

from formulary.catalogue import Catalogue
from formulary.formula.difference import Change, Said
from formulary.formula.version import Version
from formulary.messages import Message, Parameter, message
from formulary.quantity.writing import held_together

AREA = "ui_formulas.difference"


@dataclass(frozen=True, slots=True)
class Compared:
    """Two versions and what changed; ``older`` is the number of the one to compare with next."""

    before: Version
    after: Version
    changes: tuple[Change, ...]
    older: int | None = None


def difference_html(catalogue: Catalogue, compared: Compared) -> str:
    """Return the difference to be read: where, what it was, what it is."""
    return "".join(_parts(_Words(catalogue), compared))


class _Words:
    """The sentences of this page, ready for HTML."""

    def __init__(self, catalogue: Catalogue) -> None:
        self._catalogue = catalogue

    def __call__(self, key: str, **parameters: Parameter) -> str:
        return escape(self._catalogue.text(message(f"{AREA}.{key}", **parameters)))

    def said(self, said: Said) -> str:
        """Return one side of a change; an empty one says so."""
        if isinstance(said, Message):
            return escape(held_together(self._catalogue.text(said)))
        return escape(held_together(said)) if said else f"<i>{self('none')}</i>"


def _parts(words: _Words, compared: Compared) -> Iterator[str]:
    before, after = compared.before, compared.after
    yield f"<p class='title'>{escape(held_together(after.content.title))}</p>"
    states = {"before_state": _state(before), "after_state": _state(after)}
    head = words("head", before=before.number, after=after.number, **states)
    yield f"<p class='quiet'>{head}</p>"
    if after.reason:
        yield f"<p>{words('reason', reason=after.reason)}</p>"
    yield from _table(words, compared)
    older = compared.older
    further = words("last") if older is None else words("more", number=older)
    yield f"<p class='note'>{further}</p>"


def _table(words: _Words, compared: Compared) -> Iterator[str]:
    if not compared.changes:
        yield f"<p>{words('nothing')}</p>"
        return
    heads = (
        words("place"),
        words("before", number=compared.before.number),
        words("before", number=compared.after.number),
    )
    yield "<table width='100%' cellspacing='0' cellpadding='4'>"
    yield f"<tr>{''.join(_cell(f'<b>{head}</b>') for head in heads)}</tr>"
    for change in compared.changes:
        cells = (words.said(change.place), words.said(change.before), words.said(change.after))
        yield f"<tr>{''.join(_cell(each) for each in cells)}</tr>"
    yield "</table>"


def _cell(text: str, role: str = "side") -> str:
    return f"<td width='33%' class='{role}'>{text}</td>"


def _state(version: Version) -> Message:
    return message(f"formula.state.{version.state.name.lower()}")
