"""An ingredient as the fields of its editor, and back."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from formulary.catalogue import Catalogue, keys_under
from formulary.errors import BadText
from formulary.ingredient import Ingredient, Matter
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density, parse_density, write_density
from formulary.quantity.parsing import parse_amount
from formulary.quantity.typed_number import parse_number
from formulary.quantity.units import Dimension
from formulary.scaling.factor_range import parse_factor_range
from ui.context import Context
from ui.forms import understanding
from ui.forms.fields import FormField, Kind
from ui.widgets.quantity_edit import NO_MEANING, Meaning, Understand

_WARNINGS = "label.warning"


def ingredient_fields(context: Context) -> tuple[FormField, ...]:
    """Return the fields of the editor, in reading order."""
    small = understanding.amount(context, Dimension.MASS, Dimension.VOLUME)
    return (
        FormField("name", required=True),
        FormField("latin"),
        FormField("synonyms", Kind.TEXT, hint=True),
        FormField("matter", Kind.CHOICE, choices=_matters(context)),
        FormField("density", understand=understanding.density(context), hint=True),
        FormField("density_source"),
        FormField("density_at"),
        FormField("drop", understand=small, hint=True),
        FormField("potency", understand=understanding.number(context), hint=True),
        FormField("factor_range", understand=_factor_range(context), hint=True),
        FormField("warnings", Kind.CHECKS, choices=_warnings(context)),
        FormField("note", Kind.TEXT),
    )


def texts_of(ingredient: Ingredient, catalogue: Catalogue) -> dict[str, str]:
    """Return an ingredient as the texts of its fields."""
    density, sign = ingredient.density, catalogue.decimal_sign
    potency = ingredient.potency
    return {
        "name": ingredient.name,
        "latin": ingredient.latin,
        "synonyms": "\n".join(ingredient.synonyms),
        "matter": ingredient.matter.value,
        "density": _plain(write_density(density, sign)) if density else "",
        "density_source": density.source if density else "",
        "density_at": density.at if density else "",
        "drop": _amount_text(ingredient.drop, catalogue),
        "potency": _plain(catalogue.written(potency)) if potency is not None else "",
        "factor_range": _range_text(ingredient, catalogue),
        "warnings": "\n".join(sorted(ingredient.warnings)),
        "note": ingredient.note,
    }


def ingredient_of(texts: Mapping[str, str], before: Ingredient, sign: str) -> Ingredient:
    """Return the ingredient that the texts say, in place of ``before``.

    Raises :class:`formulary.errors.BadText` with the field that can't be read.
    """
    drop, potency = texts["drop"].strip(), texts["potency"].strip()
    factors = texts["factor_range"].strip()
    return replace(
        before,
        name=texts["name"].strip(),
        latin=texts["latin"].strip(),
        synonyms=tuple(_lines(texts["synonyms"])),
        matter=Matter(texts["matter"]),
        density=_density(texts, sign),
        drop=parse_amount(drop, sign) if drop else None,
        potency=parse_number(potency, sign) if potency else None,
        factor_range=parse_factor_range(factors, sign) if factors else None,
        warnings=tuple(_lines(texts["warnings"])),
        note=texts["note"].strip(),
    )


def _density(texts: Mapping[str, str], sign: str) -> Density | None:
    typed, source = texts["density"].strip(), texts["density_source"].strip()
    if not typed:
        return None
    if not source:
        raise BadText(message("ui_ingredients.source_needed"), field="density_source")
    return parse_density(typed, sign, source, texts["density_at"].strip())


def _factor_range(context: Context) -> Understand:
    def understand(text: str) -> Meaning:
        parse_factor_range(text, context.house.decimal_sign)
        return NO_MEANING

    return understand


def _range_text(ingredient: Ingredient, catalogue: Catalogue) -> str:
    if ingredient.factor_range is None:
        return ""
    least, most = (_plain(catalogue.written(end)) for end in ingredient.factor_range)
    return f"{least} to {most}"


def _amount_text(amount: Amount | None, catalogue: Catalogue) -> str:
    return _plain(catalogue.written(amount)) if amount is not None else ""


def _plain(written: str) -> str:
    """Return a written quantity with the spaces that a keyboard has."""
    return written.replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", " ")


def _lines(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if line.strip()]


def _matters(context: Context) -> Callable[[], Sequence[tuple[str, str]]]:
    return lambda: [
        (context.text(f"ui_ingredients.matter.{each.value}"), each.value) for each in Matter
    ]


def _warnings(context: Context) -> Callable[[], Sequence[tuple[str, str]]]:
    return lambda: [
        (context.text(key), key.removeprefix(f"{_WARNINGS}.")) for key in keys_under(_WARNINGS)
    ]
