"""What the page asks the store for, on the worker, as plain records."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from formulary.desk import Desk
from formulary.dossier import DossierItem
from formulary.drafts import Draft
from formulary.errors import FormularyError
from formulary.finding import Finding
from formulary.formula.content import Content
from formulary.formula.fields import ContentReading, read_fields
from formulary.formula.review import Review, review_of
from formulary.formula.version import State, Version
from formulary.ingredient import Ingredient
from formulary.kept_calculation import KeptCalculation
from formulary.messages import Message
from formulary.people import Person
from formulary.shelf_life.dating import Dated
from formulary.store import Hit
from formulary.verbs.acknowledge_version import readers_of
from formulary.verbs.date_preparation import date_version
from formulary.verbs.keep_dossier import dossier_of
from formulary.verbs.list_reviews import overdue_reviews
from formulary.verbs.review_formula import Reviewed, review_version
from ui.formulas.editor.plain import Fields, rows, without_empty_rows

PAGE = 50


@dataclass(frozen=True, slots=True)
class Entry:
    """One row of the index: a formula found, with whether it has an unconfirmed draft.

    ``state`` is None for a formula that exists only as an unconfirmed draft; ``due`` was the last
    day for its review, where that is over.
    """

    formula_id: str
    title: str
    code: str
    hit: Hit | None
    unconfirmed: bool
    due: date | None = None

    @property
    def state(self) -> State | None:
        """Return the state of the version that counts."""
        return self.hit.state if self.hit is not None else None


@dataclass(frozen=True, slots=True)
class Shown:
    """All the leaf shows of one formula.

    ``version`` is the one in use, or the newest; None where there is only a draft, whose readable
    part is then ``content``. ``unread`` are the places in it that hold a default, since nothing
    was written there or it can't be read. ``review`` is that of the version in use, ``overdue``
    whether its day is over. ``lasts`` is its last day of use if it were made today, ``undated`` why
    there is none. ``reviewed`` is how the version stands before the review, ``waiting`` what in the
    newest one waits for a pharmacist's reason.
    """

    formula_id: str
    content: Content
    version: Version | None
    versions: tuple[Version, ...]
    draft: Draft | None
    people: dict[str, str]
    unread: frozenset[str] = frozenset()
    kept: tuple[KeptCalculation, ...] = ()
    dossier: tuple[DossierItem, ...] = ()
    read: tuple[Message, ...] = ()
    review: Review | None = None
    overdue: bool = False
    lasts: Dated | None = None
    undated: Message | None = None
    reviewed: Reviewed | None = None
    waiting: tuple[Finding, ...] = ()

    @property
    def adds_up(self) -> bool:
        """Whether every quantity was read, so that there is something to add up and to scale."""
        sums = ("quantity", "total", "ingredient")
        return not any(place.rpartition(".")[2] in sums for place in self.unread)

    @property
    def newest(self) -> Version | None:
        """Return the newest version."""
        return self.versions[-1] if self.versions else None


def search(desk: Desk, text: str, offset: int) -> tuple[Entry, ...]:
    """Return a page of the formulas that the words find; on the first one open drafts lead."""
    hits = desk.store.find_formulas(text, PAGE, offset)
    drafts = {each.id: each for each in desk.store.every(Draft)}
    found = tuple(
        Entry(each.formula_id, each.title, each.code, each, each.formula_id in drafts)
        for each in hits
    )
    if offset:
        return found
    return (*_only_drafts(desk, drafts, text), *found)


def overdue_entries(desk: Desk) -> tuple[Entry, ...]:
    """Return the formulas whose review is overdue, the longest overdue first."""
    drafts = {each.id for each in desk.store.every(Draft)}
    return tuple(_entry_of(review, drafts) for review in overdue_reviews(desk))


def _entry_of(review: Review, drafts: set[str]) -> Entry:
    version = review.version
    formula_id, content = version.formula_id, version.content
    hit = Hit(
        formula_id,
        content.code,
        content.title,
        content.form,
        version.state,
        content.storage,
        content.shelf_life,
    )
    unconfirmed = formula_id in drafts
    return Entry(formula_id, content.title, content.code, hit, unconfirmed, review.due)


def formula_shown(desk: Desk, formula_id: str) -> Shown | None:
    """Return what the leaf shows of a formula; None if it is gone."""
    versions = tuple(desk.store.versions(formula_id))
    draft = desk.store.get(Draft, formula_id)
    people = {each.id: each.name for each in desk.store.every(Person)}
    if versions:
        in_use = [each for each in versions if each.state is State.IN_USE]
        version = in_use[-1] if in_use else versions[-1]
        kept = tuple(desk.store.having(KeptCalculation, subject_id=formula_id))
        review = review_of(version, desk.house.review_months)
        reviewed = review_version(desk, version)
        newest = reviewed if versions[-1] == version else review_version(desk, versions[-1])
        shown = Shown(
            formula_id,
            version.content,
            version,
            versions,
            draft,
            people,
            kept=kept,
            dossier=tuple(dossier_of(desk.store, formula_id)),
            read=readers_of(desk.store, version).said if in_use else (),
            review=review,
            overdue=review is not None and review.due < desk.today,
            reviewed=reviewed,
            waiting=newest.open,
        )
        return _dated(desk, version, shown)
    if draft is None:
        return None
    fields = without_empty_rows(fields_kept(draft))
    reading = read_fields(fields, desk.house.decimal_sign)
    unread = _unread(fields, reading)
    return Shown(formula_id, reading.content, None, (), draft, people, unread)


def _dated(desk: Desk, version: Version, shown: Shown) -> Shown:
    """Return what is shown with its date, or with the sentence that says why it has none."""
    try:
        return replace(shown, lasts=date_version(desk.house, version, desk.today))
    except FormularyError as trouble:
        return replace(shown, undated=trouble.message)


def ingredient_names(desk: Desk) -> tuple[str, ...]:
    """Return the names an ingredient may be called by, for completion."""
    return tuple(sorted(each.name for each in desk.store.every(Ingredient)))


def fields_kept(draft: Draft) -> dict[str, Any]:
    """Return the fields that a draft keeps."""
    fields: dict[str, Any] = json.loads(draft.fields)
    return fields


def _unread(fields: Fields, reading: ContentReading) -> frozenset[str]:
    """Return where the content holds a default; a role has one without being wrong."""
    no_role = (
        f"ingredient.{position}.role"
        for position, row in enumerate(rows(fields, "ingredient"))
        if not row.get("role")
    )
    return frozenset((*(each.field or "" for each in reading.troubles), *no_role))


def _only_drafts(desk: Desk, drafts: dict[str, Draft], text: str) -> Sequence[Entry]:
    words = text.casefold().split()
    found = []
    for draft in drafts.values():
        fields = fields_kept(draft)
        title, code = str(fields.get("title", "")), str(fields.get("code", ""))
        fits = all(word in f"{title} {code}".casefold() for word in words)
        if fits and not desk.store.versions(draft.id):
            found.append(Entry(draft.id, title, code, None, unconfirmed=True))
    return found
