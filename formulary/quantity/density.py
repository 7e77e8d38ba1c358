"""The bridge between mass and volume: a density with the source it was taken from."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.errors import BadText
from formulary.messages import message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.quantity.parsing import parse_concentration
from formulary.quantity.typed_number import tidy
from formulary.quantity.writing import NO_BREAK_SPACE, write_number


@dataclass(frozen=True, slots=True)
class Density:
    """Grams in one millilitre, where the figure is from, and at which conditions (``20 °C``).

    Raises :class:`formulary.errors.BadText` for a density of zero or less.
    """

    g_per_mL: Fraction  # noqa: N815  the symbol of millilitre is mL
    source: str
    at: str = ""

    def __post_init__(self) -> None:
        if not isinstance(self.g_per_mL, Fraction):
            raise TypeError(f"a density holds a Fraction, not {type(self.g_per_mL).__name__}")
        if not self.source.strip():
            raise ValueError("a density names its source")
        if self.g_per_mL <= 0:
            raise BadText(message("quantity.density.not_positive", number=self.g_per_mL))


def mass_of(volume: Amount, density: Density) -> Amount:
    """Return the mass in g of a volume. Raises UnitMismatch for anything but a volume."""
    return Amount(volume.to("mL").number * density.g_per_mL, "g")


def volume_of(mass: Amount, density: Density) -> Amount:
    """Return the volume in mL of a mass. Raises UnitMismatch for anything but a mass."""
    return Amount(mass.to("g").number / density.g_per_mL, "mL")


def parse_density(text: str, decimal_sign: str, source: str, at: str = "") -> Density:
    """Read ``0.91 g/mL`` (or g/cm3, kg/L). Raises BadText for a bare number or another unit."""
    typed = tidy(text)
    in_ml = typed.replace("cm3", "mL").replace("cm\N{SUPERSCRIPT THREE}", "mL")
    if "/" not in in_ml:
        raise BadText(message("quantity.density.unit", typed=typed))
    return Density(_g_per_ml(parse_concentration(in_ml, decimal_sign), typed), source, at)


def write_density(density: Density, decimal_sign: str) -> str:
    """Return ``0.91 g/mL``; its symbols are the same in every language."""
    return f"{write_number(density.g_per_mL, decimal_sign)}{NO_BREAK_SPACE}g/mL"


def _g_per_ml(read: Concentration | OneIn, typed: str) -> Fraction:
    """Return the number of g/mL of what was read, if that is a mass in a volume."""
    if isinstance(read, Concentration) and read.unit not in units.PERCENTS:
        part, whole = units.split_concentration(read.unit)
        if (units.dimension(part), units.dimension(whole)) == (units.MASS, units.VOLUME):
            return read.number * units.factor(part, "g") / units.factor(whole, "mL")
    raise BadText(message("quantity.density.unit", typed=typed))
