"""An ingredient as the fields of its editor, and back."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from formulary.catalogue import Catalogue, keys_under
from formulary.errors import BadText, Refusal
from formulary.ingredient import Ingredient, Matter
from formulary.messages import message
from formulary.orders.dose_text import dose_limit_text, parse_dose_limit
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density, parse_density, write_density
from formulary.quantity.parsing import parse_amount
from formulary.quantity.typed_number import parse_number
from formulary.quantity.units import Dimension
from formulary.review.usual import parse_usual_range
from formulary.scaling.factor_range import parse_factor_range
from formulary.stock.delivery_text import read_strength
from formulary.stock.lot import LotStrength, Source, require_strength
from ui.context import Context
from ui.forms import understanding
from ui.forms.fields import NO, YES, FormField, Kind
from ui.ingredients.monograph_texts import (
    a_day,
    a_degree,
    a_ph_range,
    handling_of,
    handling_texts,
    monograph_of,
    monograph_texts,
    storage_of,
    storage_texts,
)
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
        FormField("usual", understand=_usual_range(context), hint=True),
        FormField("usual_source"),
        FormField("doses_a_day", Kind.TEXT, understand=_dose_limits(context), hint=True),
        FormField("warnings", Kind.CHECKS, choices=_warnings(context)),
        FormField("note", Kind.TEXT),
        *_alert_fields(context),
        *_handling_fields(),
        *_storage_fields(),
        *_monograph_fields(context),
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
        "usual": _usual_text(ingredient, catalogue),
        "usual_source": ingredient.usual.source if ingredient.usual is not None else "",
        "doses_a_day": "\n".join(dose_limit_text(each, sign) for each in ingredient.doses),
        "warnings": "\n".join(sorted(ingredient.warnings)),
        "note": ingredient.note,
        "source": ingredient.source.value,
        "strength": _strength_text(ingredient, catalogue),
        "high_alert": _flag(ingredient.high_alert),
        "double_check": _flag(ingredient.double_check),
        "controlled": _flag(ingredient.controlled),
        "look_alikes": "\n".join(ingredient.look_alikes),
        "hazards": "\n".join(ingredient.hazards),
        "allergens": "\n".join(ingredient.allergens),
        **handling_texts(ingredient.handling),
        **storage_texts(ingredient.storage),
        **monograph_texts(ingredient.monograph, catalogue),
    }


def ingredient_of(texts: Mapping[str, str], before: Ingredient, sign: str) -> Ingredient:
    """Return the ingredient that the texts say, in place of ``before``.

    Raises :class:`formulary.errors.BadText` with the field that can't be read.
    """
    drop, potency = texts["drop"].strip(), texts["potency"].strip()
    factors, usual = texts["factor_range"].strip(), texts["usual"].strip()
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
        usual=parse_usual_range(usual, sign, texts["usual_source"]) if usual else None,
        doses=tuple(parse_dose_limit(each, sign) for each in _lines(texts["doses_a_day"])),
        warnings=tuple(_lines(texts["warnings"])),
        note=texts["note"].strip(),
        source=Source(texts["source"]),
        strength=_strength(texts, sign),
        high_alert=texts["high_alert"] == YES,
        double_check=texts["double_check"] == YES,
        controlled=texts["controlled"] == YES,
        look_alikes=tuple(_lines(texts["look_alikes"])),
        hazards=tuple(_lines(texts["hazards"])),
        allergens=tuple(_lines(texts["allergens"])),
        handling=handling_of(texts, before.handling),
        storage=storage_of(texts, before.storage),
        monograph=monograph_of(texts, sign),
    )


def _alert_fields(context: Context) -> tuple[FormField, ...]:
    """Return what it is bought as, and what the bench is warned of."""
    return (
        FormField("source", Kind.CHOICE, choices=_sources(context)),
        FormField("strength", hint=True),
        FormField("high_alert", Kind.FLAG, hint=True),
        FormField("double_check", Kind.FLAG, hint=True),
        FormField("controlled", Kind.FLAG, hint=True),
        FormField("look_alikes", Kind.TEXT, hint=True),
        FormField("hazards", Kind.TEXT, hint=True),
        FormField("allergens", Kind.TEXT, hint=True),
    )


def _handling_fields() -> tuple[FormField, ...]:
    return (
        FormField("listings", Kind.TEXT, hint=True),
        FormField("precautions", Kind.TEXT),
        FormField("handling_reviewed", understand=a_day),
    )


def _storage_fields() -> tuple[FormField, ...]:
    return (
        FormField("lowest", understand=a_degree),
        FormField("highest", understand=a_degree),
        FormField("do_not_freeze", Kind.FLAG),
        FormField("protect_from_light", Kind.FLAG),
        FormField("keep_dry", Kind.FLAG),
    )


def _monograph_fields(context: Context) -> tuple[FormField, ...]:
    number = understanding.number(context)
    return (
        FormField("cas", hint=True),
        FormField("formula", hint=True),
        FormField("molecular_mass", understand=number),
        FormField("parent"),
        FormField("parent_factor", understand=number, hint=True),
        FormField("melting"),
        FormField("solubility", Kind.TEXT),
        FormField("ph", understand=a_ph_range(context.house.decimal_sign), hint=True),
        FormField("concentrations", Kind.TEXT, hint=True),
        FormField("doses", Kind.TEXT, hint=True),
        FormField("displacement", understand=number, hint=True),
        FormField("tariffs", Kind.TEXT),
        FormField("source_of_facts", hint=True),
    )


def _strength(texts: Mapping[str, str], sign: str) -> LotStrength | None:
    text, source = texts["strength"].strip(), Source(texts["source"])
    try:
        strength = read_strength(text, source, sign)
        require_strength(source, strength)
    except (BadText, Refusal) as trouble:
        raise BadText(trouble.message, field="strength") from trouble
    return strength


def _strength_text(ingredient: Ingredient, catalogue: Catalogue) -> str:
    return "" if ingredient.strength is None else _plain(catalogue.written(ingredient.strength))


def _sources(context: Context) -> Callable[[], Sequence[tuple[str, str]]]:
    return lambda: [(context.text(f"stock.source.{each.value}"), each.value) for each in Source]


def _flag(on: bool) -> str:  # noqa: FBT001  the flag itself
    return YES if on else NO


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


def _usual_range(context: Context) -> Understand:
    def understand(text: str) -> Meaning:
        # Its source is asked for when the ingredient is kept.
        parse_usual_range(text, context.house.decimal_sign, source="typed later")
        return NO_MEANING

    return understand


def _dose_limits(context: Context) -> Understand:
    def understand(text: str) -> Meaning:
        for line in _lines(text):
            parse_dose_limit(line, context.house.decimal_sign)
        return NO_MEANING

    return understand


def _usual_text(ingredient: Ingredient, catalogue: Catalogue) -> str:
    if ingredient.usual is None:
        return ""
    ends = (ingredient.usual.lowest, ingredient.usual.highest)
    return " to ".join(_plain(catalogue.written(end)) for end in ends)


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
