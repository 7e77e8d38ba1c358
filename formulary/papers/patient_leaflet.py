"""The leaflet of a preparation in the patient's language: what its labels say, under headings.

No person is named on it. What a patient reads was approved by a pharmacist of the house; before a
preparation is packed it is a proof, marked not for use.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from formulary.desk import Desk
from formulary.formula.version import Version
from formulary.labels.content import LabelContent
from formulary.labels.page import Field, Page
from formulary.labels.wording import sentences_of, statement, tidy, words_for
from formulary.messages import Parameter, message
from formulary.papers.head import HeadTexts
from formulary.papers.leaflet import Part, leaflet
from formulary.papers.printed import printed_now
from formulary.papers.words import words_of
from formulary.store import Reading
from formulary.verbs.address_preparation import preparation_of
from formulary.verbs.issue_labels import is_proof, label_contents, require_true_strength
from formulary.verbs.wordings import LEAFLET, require_approved

_WHAT = (Field.NAME, Field.STRENGTH, Field.QUANTITY)
_KEEP = (Field.STORAGE, Field.USE_BY, Field.AFTER_OPENING)
_MAKER = (Field.HOUSE, Field.ADDRESS, Field.TELEPHONE, Field.MADE_ON, Field.LOT)


def patient_leaflet(desk: Desk, lot: str, *, language: str = "") -> tuple[Page, ...]:
    """Return the leaflet of a lot, in the patient's language where no other is asked for.

    Raises :class:`formulary.errors.NotFound` for an unknown lot, and
    :class:`formulary.errors.Refusal` for what a label is refused for too: a wording that no
    pharmacist approved, and a true strength outside its limits.
    """
    preparation = preparation_of(desk, lot)
    content = label_contents(desk, preparation, language=language)[0]
    if not is_proof(desk.store, preparation):
        require_approved(desk.store, [content], desk.house.label_language, also=LEAFLET)
        require_true_strength(desk.store, preparation)
    head = _head(desk, content, f"{preparation.code}/{preparation.version_number}")
    # In one language alone: directions written in another are refused, not left out.
    content = replace(content, beside="")
    return leaflet(head, parts_of(content, _ingredients(desk.store, preparation.version_id)))


def parts_of(content: LabelContent, ingredients: Iterable[str] = ()) -> tuple[Part, ...]:
    """Return what a leaflet says of a preparation, in the order in which a patient asks."""
    names = tuple(ingredients)
    listed = (_said(content, "ingredients", names=names),) if names else ()
    return (
        _part(content, "what", _each(content, _WHAT)),
        _part(content, "how", sentences_of(content, Field.DIRECTIONS)),
        _part(content, "care", _each_sentence(content, (Field.WARNINGS, Field.EXTRA))),
        _part(content, "keep", _each(content, _KEEP)),
        _part(content, "contains", listed),
        _part(content, "maker", (*_each(content, _MAKER), _said(content, "ask"))),
    )


def _part(content: LabelContent, key: str, sentences: tuple[str, ...]) -> Part:
    return Part(_said(content, key), sentences)


def _each(content: LabelContent, fields: Iterable[Field]) -> tuple[str, ...]:
    return tuple(filter(None, (statement(content, field) for field in fields)))


def _each_sentence(content: LabelContent, fields: Iterable[Field]) -> tuple[str, ...]:
    return tuple(each for field in fields for each in sentences_of(content, field))


def _said(content: LabelContent, key: str, **parameters: Parameter) -> str:
    return tidy(words_for(content).text(message(f"label.leaflet.{key}", **parameters)))


def _head(desk: Desk, content: LabelContent, version: str) -> HeadTexts:
    return HeadTexts(
        maker=content.house,
        title=_said(content, "paper"),
        version=version,
        lot=content.lot,
        lot_said=statement(content, Field.LOT),
        page=lambda number, total: _said(content, "page", number=number, total=total),
        stamp=statement(content, Field.STAMP),
        foot=printed_now(desk).foot(words_of(desk.house)),
    )


def _ingredients(store: Reading, version_id: str) -> tuple[str, ...]:
    version = store.get(Version, version_id)
    return () if version is None else tuple(each.ingredient for each in version.content.lines)
