"""Write a formula down: a new one, or the next version of one; the open draft that precedes it."""

from __future__ import annotations

from dataclasses import replace

from formulary.desk import Desk
from formulary.drafts import Draft
from formulary.errors import Forbidden, Refusal
from formulary.formula.completing import completed
from formulary.formula.content import Content
from formulary.formula.version import Formula, State, Version
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.store import Writing


def write_version(
    desk: Desk, content: Content, *, formula_id: str = "", reason: str = ""
) -> Version:
    """Keep the content as the formula's draft version, and close the open draft of it.

    A draft version is rewritten; after a version that has left the draft state comes a new one,
    which needs a reason. Raises :class:`formulary.errors.Refusal` for a code that another formula
    has, and :class:`formulary.errors.Forbidden` while a version is in review.
    """
    content = completed(content, desk.store.every(Ingredient))
    with desk.writing("write_version", reason) as writing:
        _refuse_taken_code(writing, content.code, formula_id)
        formula = writing.get(Formula, formula_id) if formula_id else None
        if formula is None:
            formula = Formula(formula_id or new_id(), content.code, content.title)
        formula = writing.put(replace(formula, code=content.code, title=content.title))
        version = writing.put(_next(desk, writing, formula, content, reason))
        if writing.get(Draft, formula.id) is not None:
            writing.remove(Draft, formula.id)
        return version


def _refuse_taken_code(writing: Writing, code: str, formula_id: str) -> None:
    for other in writing.formulas_named(code):
        if other.id != formula_id and other.code.casefold() == code.casefold():
            raise Refusal(message("verbs.code_taken", code=code, title=other.title))


def _next(desk: Desk, writing: Writing, formula: Formula, content: Content, reason: str) -> Version:
    versions = writing.versions(formula.id)
    newest = versions[-1] if versions else None
    if newest is not None and newest.order_id:
        raise Forbidden(message("verbs.one_off_by_order", title=content.title))
    if newest is not None and newest.state is State.IN_REVIEW:
        raise Forbidden(message("verbs.in_review", title=content.title, number=newest.number))
    if newest is not None and newest.state is State.DRAFT:
        return replace(
            newest,
            content=content,
            reason=reason or newest.reason,
            author_id=desk.person.id,
            earlier_author_ids=_earlier(newest, desk.person.id),
            written_at=desk.act().at,
        )
    if newest is not None and not reason.strip():
        raise Refusal(message("verbs.reason_needed", title=content.title))
    return Version(
        id=new_id(),
        formula_id=formula.id,
        number=newest.number + 1 if newest else 1,
        content=content,
        reason=reason,
        author_id=desk.person.id,
        written_at=desk.act().at,
    )


def _earlier(draft: Version, person_id: str) -> tuple[str, ...]:
    """Return everybody else who wrote the draft, each once, in order."""
    everybody = (*draft.earlier_author_ids, draft.author_id)
    return tuple(dict.fromkeys(each for each in everybody if each not in ("", person_id)))


def keep_draft(desk: Desk, draft: Draft) -> Draft:
    """Keep what an open editor holds, so that it comes back after a crash."""
    with desk.writing("keep_draft") as writing:
        return writing.put(draft)


def drop_draft(desk: Desk, draft_id: str) -> None:
    """Throw an open draft away."""
    with desk.writing("drop_draft") as writing:
        writing.remove(Draft, draft_id)
