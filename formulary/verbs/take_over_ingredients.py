"""Take a table of ingredients over: new ones, and what it says anew of those on file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from formulary.catalogue import Catalogue, keys_under
from formulary.desk import Desk
from formulary.errors import BadText
from formulary.field_text import NO, YES, lines_of
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.ingredient_text import ingredient_of, texts_of
from formulary.messages import message
from formulary.taking_over import Fate, Fated, TableRow, changes_between, is_sound
from formulary.verbs.all_or_nothing import Keep, all_or_nothing
from formulary.verbs.keep_records import save_ingredient

CALLED_BY = "name"
COLUMNS = tuple(texts_of(Ingredient("", ""), Catalogue()))
"""The fields of an ingredient's editor, in its order."""
_FLAGS = (
    "high_alert",
    "double_check",
    "controlled",
    "do_not_freeze",
    "protect_from_light",
    "keep_dry",
)
_LISTS = (
    "synonyms",
    "doses_a_day",
    "warnings",
    "look_alikes",
    "hazards",
    "allergens",
    "listings",
    "concentrations",
    "doses",
    "tariffs",
)
_BETWEEN = "|"
_WARNING = "label.warning."


def take_over_ingredients(
    desk: Desk, rows: Sequence[TableRow], keep: Keep = is_sound
) -> tuple[Fated, ...]:
    """Keep each row's ingredient, all of them or none, and return their fates.

    One on file under that name is changed where the row says something else; an empty cell says
    nothing, so what is on file stays.
    """
    desk.may("save_ingredient")
    catalogue = Catalogue(decimal_sign=desk.house.decimal_sign)
    seen: dict[str, int] = {}

    def take(there: Desk, row: TableRow) -> Fated:
        _require_once(seen, row)
        return _saved(there, row, catalogue)

    return all_or_nothing(desk, rows, take, keep)


def _require_once(seen: dict[str, int], row: TableRow) -> None:
    if not row.name:
        raise BadText(message("exchange.table.no_name"), field=CALLED_BY)
    earlier = seen.setdefault(row.name.casefold(), row.line)
    if earlier != row.line:
        raise BadText(message("exchange.table.twice", line=earlier), field=CALLED_BY)


def _saved(desk: Desk, row: TableRow, catalogue: Catalogue) -> Fated:
    known = _named(desk, row.name)
    before = known or Ingredient(new_id(), row.name)
    texts = texts_of(before, catalogue)
    # A name that differs in its capitals alone is the one on file.
    said = _said(row.texts) | {CALLED_BY: before.name}
    wanted = ingredient_of(texts | said, before, catalogue.decimal_sign)
    changes = changes_between(texts, texts_of(wanted, catalogue))
    if known is None:
        save_ingredient(desk, wanted)
        return Fated(row.name, Fate.NEW, row.line, changes)
    if not changes:
        return Fated(row.name, Fate.UNCHANGED, row.line)
    save_ingredient(desk, wanted)
    return Fated(row.name, Fate.CHANGED, row.line, changes)


def _named(desk: Desk, name: str) -> Ingredient | None:
    wanted = name.casefold()
    every = desk.store.every(Ingredient)
    return next((each for each in every if each.name.casefold() == wanted), None)


def _said(texts: Mapping[str, str]) -> dict[str, str]:
    """Return a row's texts as the editor has them: lists by the line, flags as they are kept."""
    said = dict(texts)
    for name in said.keys() & {*_LISTS}:
        said[name] = said[name].replace(_BETWEEN, "\n")
    for name in said.keys() & {*_FLAGS}:
        said[name] = _flag(said[name], name)
    if "warnings" in said:
        said["warnings"] = _warnings(said["warnings"])
    return said


def _flag(text: str, field: str) -> str:
    flag = {"yes": YES, "no": NO}.get(text.casefold())
    if flag is None:
        raise BadText(message("ingredient.no_choice", typed=text, words=("yes", "no")), field=field)
    return flag


def _warnings(text: str) -> str:
    known = tuple(key.removeprefix(_WARNING) for key in keys_under(_WARNING.removesuffix(".")))
    for code in lines_of(text):
        if code not in known:
            said = message("ingredient.no_choice", typed=code, words=known)
            raise BadText(said, field="warnings")
    return "\n".join(sorted(lines_of(text)))
