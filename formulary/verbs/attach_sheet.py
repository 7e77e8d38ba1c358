"""Attach a safety data sheet to an ingredient, with the day of its revision."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from formulary.desk import Desk
from formulary.errors import NotFound
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.monograph import SafetySheet
from formulary.stock.certificate_file import file_name, media_type
from formulary.stock.lot import Attachment
from formulary.store import Reading


def attach_sheet(
    desk: Desk, ingredient_id: str, name: str, data: bytes, revised_on: date
) -> Ingredient:
    """Keep the file and name it in the ingredient's record; a newer one takes its place.

    Raises :class:`formulary.errors.Refusal` for a file that is no PDF and no picture.
    """
    kind = media_type(data)
    with desk.writing("attach_sheet") as writing:
        ingredient = writing.get(Ingredient, ingredient_id)
        if ingredient is None:
            raise NotFound(message("verbs.no_ingredient_record", ingredient=ingredient_id))
        writing.tell(ingredient=ingredient.name)
        file = Attachment(file_name(name), writing.keep_file(data), kind)
        handling = replace(ingredient.handling, sheet=SafetySheet(file, revised_on))
        return writing.put(replace(ingredient, handling=handling))


def sheet_file(store: Reading, ingredient: Ingredient) -> bytes:
    """Return an ingredient's safety data sheet. Raises NotFound where none is attached."""
    sheet = ingredient.handling.sheet
    data = store.file(sheet.file.sha256) if sheet is not None else None
    if data is None:
        raise NotFound(message("ingredient.no_sheet", ingredient=ingredient.name))
    return data
