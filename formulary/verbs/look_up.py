"""Look a formula up: by words, by code or title, and the version that counts."""

from __future__ import annotations

from formulary.errors import NotFound, Refusal
from formulary.formula.version import Formula, State, Version
from formulary.messages import message
from formulary.store import Reading


def formula_named(store: Reading, text: str) -> Formula:
    """Return the formula with that code or title, or the only one that the words find.

    Raises :class:`formulary.errors.NotFound` for none, :class:`formulary.errors.Refusal` for
    several.
    """
    named = store.formulas_named(text)
    if len(named) == 1:
        return named[0]
    hits = store.find_formulas(text, limit=6) if not named else []
    if len(hits) == 1:
        found = store.get(Formula, hits[0].formula_id)
        if found is not None:
            return found
    if not named and not hits:
        raise NotFound(message("verbs.no_such_formula", text=text))
    titles = [each.title for each in named] or [each.title for each in hits]
    raise Refusal(message("verbs.several_formulas", text=text, titles=tuple(titles)))


def current_version(store: Reading, formula_id: str) -> Version:
    """Return the version in use, or the newest where none is.

    Raises :class:`formulary.errors.NotFound` where the formula has no version.
    """
    versions = store.versions(formula_id)
    if not versions:
        raise NotFound(message("verbs.no_such_formula", text=formula_id))
    in_use = [each for each in versions if each.state is State.IN_USE]
    return in_use[-1] if in_use else versions[-1]
