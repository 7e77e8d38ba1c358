"""What a formula is found by, and which of its versions speaks for it. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from formulary.canonical import from_canonical_text
from formulary.folding import folded_words
from formulary.formula.content import Content, Form, ShelfLife, Storage
from formulary.formula.version import Formula, State, Version
from formulary.ingredient import Ingredient
from formulary.store import Hit


@dataclass(frozen=True, slots=True)
class Keeping:
    """How a formula is kept and for how long, as every hit shows it."""

    storage: Storage | None = None
    shelf_life: ShelfLife | None = None


def speaking(versions: Sequence[Version]) -> Version | None:
    """Return the version in use, or the newest where none is; None without versions."""
    newest_first = sorted(versions, key=lambda version: version.number, reverse=True)
    in_use = (version for version in newest_first if version.state is State.IN_USE)
    return next(in_use, newest_first[0] if newest_first else None)


def hit(formula: Formula, version: Version) -> Hit:
    """Return what the list shows of a formula whose speaking version is ``version``."""
    content = version.content
    return Hit(
        formula.id,
        formula.code,
        formula.title,
        content.form,
        version.state,
        content.storage,
        content.shelf_life,
    )


def hit_of(formula_id: str, code: str, title: str, form: str, *kept_as: str) -> Hit:
    """Return the hit that a row of the search table shows."""
    return Hit(formula_id, code, title, *_shown(form, *kept_as))


@lru_cache(maxsize=1000)
def _shown(
    form: str, state: str, keeping: str
) -> tuple[Form, State, Storage | None, ShelfLife | None]:
    """Return the rest of a hit; a house keeps most of its formulas in a few ways."""
    kept = from_canonical_text(Keeping, keeping)
    return Form(form), State(state), kept.storage, kept.shelf_life


def withdrawn_last(page: Iterable[Hit]) -> list[Hit]:
    """Return a page of hits, those withdrawn behind all others; else the order stays."""
    return sorted(page, key=lambda hit: hit.state is State.WITHDRAWN)


def searched_text(formula: Formula, content: Content, ingredients: Iterable[Ingredient]) -> str:
    """Return the folded words under which a formula is found, each once."""
    said = [formula.code, formula.title, content.title, content.latin, *content.synonyms]
    said += [content.form, content.purpose, content.label.name]
    said += [line.ingredient for line in content.lines]
    for ingredient in ingredients:
        said += [ingredient.name, ingredient.latin, *ingredient.synonyms]
    said += [*_storage_words(content.storage), *_shelf_life_words(content.shelf_life)]
    return " ".join(dict.fromkeys(word for text in said for word in folded_words(text)))


def _storage_words(storage: Storage | None) -> list[str]:
    if storage is None:
        return []
    bounds = [str(bound) for bound in (storage.lowest, storage.highest) if bound is not None]
    return [*bounds, "°C" if bounds else "", storage.note]


def _shelf_life_words(life: ShelfLife | None) -> list[str]:
    if life is None:
        return []
    periods = [period for period in (life.unopened, life.opened) if period is not None]
    spans = [f"{period.number} {period.span}" for period in periods]
    return [*spans, life.reason, life.reference]
