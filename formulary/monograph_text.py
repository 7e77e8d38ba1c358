"""What books say of an ingredient, how it is kept and handled: as texts of fields, and back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from formulary.catalogue import Catalogue
from formulary.errors import BadText
from formulary.field_text import NO, YES, at_field, day_in, lines_of, optional
from formulary.formula.content import Storage
from formulary.messages import message
from formulary.monograph import Handling, Monograph, parse_listings, write_listing
from formulary.quantity.typed_number import parse_number

_DEGREES = re.compile(r"[-\N{MINUS SIGN}]?[0-9]{1,2}")
_NUMBERS = ("molecular_mass", "parent_factor", "displacement")
_LISTS = ("concentrations", "doses", "tariffs")
_WORDS = ("cas", "formula", "parent", "melting", "solubility")
_FLAGS = ("do_not_freeze", "protect_from_light", "keep_dry")


def monograph_texts(monograph: Monograph, catalogue: Catalogue) -> dict[str, str]:
    """Return what books say as texts."""
    figures = {name: getattr(monograph, name) for name in _NUMBERS}
    return {
        **{name: getattr(monograph, name) for name in _WORDS},
        **{name: "\n".join(getattr(monograph, name)) for name in _LISTS},
        **{name: _number_text(figure, catalogue) for name, figure in figures.items()},
        "ph": _range_text(monograph.ph, catalogue),
        "source_of_facts": monograph.source,
    }


def monograph_of(texts: Mapping[str, str], sign: str) -> Monograph:
    """Return what the texts say. Raises :class:`formulary.errors.BadText`."""
    return Monograph(
        cas=texts["cas"].strip(),
        formula=texts["formula"].strip(),
        molecular_mass=_number(texts, "molecular_mass", sign),
        parent=texts["parent"].strip(),
        parent_factor=_number(texts, "parent_factor", sign),
        melting=texts["melting"].strip(),
        solubility=texts["solubility"].strip(),
        concentrations=tuple(lines_of(texts["concentrations"])),
        doses=tuple(lines_of(texts["doses"])),
        displacement=_number(texts, "displacement", sign),
        tariffs=tuple(lines_of(texts["tariffs"])),
        ph=ph_range(texts["ph"], sign),
        source=texts["source_of_facts"].strip(),
    )


def handling_texts(handling: Handling) -> dict[str, str]:
    """Return how a hazardous substance is handled as texts."""
    day = handling.reviewed_on
    return {
        "listings": "\n".join(map(write_listing, handling.listings)),
        "precautions": handling.precautions,
        "handling_reviewed": "" if day is None else day.isoformat(),
    }


def handling_of(texts: Mapping[str, str], before: Handling) -> Handling:
    """Return what the texts say, with the sheet that is attached already."""
    return replace(
        before,
        listings=parse_listings(texts["listings"]),
        precautions=texts["precautions"].strip(),
        reviewed_on=day_in(texts["handling_reviewed"], "handling_reviewed"),
    )


def storage_texts(storage: Storage | None) -> dict[str, str]:
    """Return how it is kept as texts."""
    kept = storage or Storage()
    ends = {"lowest": kept.lowest, "highest": kept.highest}
    return {
        **{name: "" if degrees is None else str(degrees) for name, degrees in ends.items()},
        **{name: YES if getattr(kept, name) else NO for name in _FLAGS},
    }


def storage_of(texts: Mapping[str, str], before: Storage | None) -> Storage | None:
    """Return how it is kept, None where nothing is said."""
    kept = replace(
        before or Storage(),
        lowest=degrees_of(texts["lowest"], "lowest"),
        highest=degrees_of(texts["highest"], "highest"),
        do_not_freeze=texts["do_not_freeze"] == YES,
        protect_from_light=texts["protect_from_light"] == YES,
        keep_dry=texts["keep_dry"] == YES,
    )
    if kept.lowest is not None and kept.highest is not None and kept.lowest > kept.highest:
        raise BadText(message("ingredient.upside_down"), field="highest")
    return kept if kept != Storage() else None


def ph_range(text: str, sign: str) -> tuple[Fraction, Fraction] | None:
    """Read "4 to 6.5". Raises :class:`formulary.errors.BadText` for anything else."""
    if not text.strip():
        return None
    low, to, high = text.partition(" to ")
    if not to:
        raise BadText(message("ingredient.no_range", typed=text.strip()), field="ph")
    return at_field(
        "ph", lambda: (parse_number(low.strip(), sign), parse_number(high.strip(), sign))
    )


def _range_text(ph: tuple[Fraction, Fraction] | None, catalogue: Catalogue) -> str:
    return "" if ph is None else " to ".join(_number_text(end, catalogue) for end in ph)


def _number_text(number: Fraction | None, catalogue: Catalogue) -> str:
    return "" if number is None else catalogue.written(number)


def _number(texts: Mapping[str, str], field: str, sign: str) -> Fraction | None:
    return optional(texts, field, lambda typed: parse_number(typed, sign))


def degrees_of(text: str, field: str) -> int | None:
    """Read whole degrees Celsius, nothing for none. Raises BadText for anything else."""
    typed = text.strip().removesuffix("\N{DEGREE SIGN}C").strip()
    if not typed:
        return None
    if not _DEGREES.fullmatch(typed):
        raise BadText(message("ingredient.no_degrees", typed=text.strip()), field=field)
    return int(typed.replace("\N{MINUS SIGN}", "-"))
