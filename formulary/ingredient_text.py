"""An ingredient as texts, and back: what its editor shows, and the columns of a table."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from formulary.catalogue import Catalogue
from formulary.errors import BadText, Refusal
from formulary.field_text import NO, YES, at_field, choice_of, lines_of, optional
from formulary.ingredient import Ingredient, Matter
from formulary.messages import message
from formulary.monograph_text import (
    handling_of,
    handling_texts,
    monograph_of,
    monograph_texts,
    storage_of,
    storage_texts,
)
from formulary.orders.dose_text import dose_limit_text, parse_dose_limit
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density, parse_density, write_density
from formulary.quantity.parsing import parse_amount
from formulary.quantity.typed_number import parse_number
from formulary.review.usual import parse_usual_range
from formulary.scaling.factor_range import parse_factor_range
from formulary.stock.delivery_text import read_strength
from formulary.stock.lot import LotStrength, Source, require_strength


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
    by, doses = texts["usual_source"], lines_of(texts["doses_a_day"])
    return replace(
        before,
        name=texts["name"].strip(),
        latin=texts["latin"].strip(),
        synonyms=tuple(lines_of(texts["synonyms"])),
        matter=choice_of(Matter, texts["matter"], "matter"),
        density=_density(texts, sign),
        drop=optional(texts, "drop", lambda typed: parse_amount(typed, sign)),
        potency=optional(texts, "potency", lambda typed: parse_number(typed, sign)),
        factor_range=optional(texts, "factor_range", lambda typed: parse_factor_range(typed, sign)),
        usual=optional(texts, "usual", lambda typed: parse_usual_range(typed, sign, by)),
        doses=at_field(
            "doses_a_day", lambda: tuple(parse_dose_limit(each, sign) for each in doses)
        ),
        warnings=tuple(lines_of(texts["warnings"])),
        note=texts["note"].strip(),
        source=choice_of(Source, texts["source"], "source"),
        strength=_strength(texts, sign),
        high_alert=texts["high_alert"] == YES,
        double_check=texts["double_check"] == YES,
        controlled=texts["controlled"] == YES,
        look_alikes=tuple(lines_of(texts["look_alikes"])),
        hazards=tuple(lines_of(texts["hazards"])),
        allergens=tuple(lines_of(texts["allergens"])),
        handling=handling_of(texts, before.handling),
        storage=storage_of(texts, before.storage),
        monograph=monograph_of(texts, sign),
    )


def _strength(texts: Mapping[str, str], sign: str) -> LotStrength | None:
    text, source = texts["strength"].strip(), choice_of(Source, texts["source"], "source")
    try:
        strength = read_strength(text, source, sign)
        require_strength(source, strength)
    except (BadText, Refusal) as trouble:
        raise BadText(trouble.message, field="strength") from trouble
    return strength


def _strength_text(ingredient: Ingredient, catalogue: Catalogue) -> str:
    return "" if ingredient.strength is None else _plain(catalogue.written(ingredient.strength))


def _flag(on: bool) -> str:  # noqa: FBT001  the flag itself
    return YES if on else NO


def _density(texts: Mapping[str, str], sign: str) -> Density | None:
    typed, source = texts["density"].strip(), texts["density_source"].strip()
    if not typed:
        return None
    if not source:
        raise BadText(message("ingredient.density_source"), field="density_source")
    at = texts["density_at"].strip()
    return at_field("density", lambda: parse_density(typed, sign, source, at))


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
