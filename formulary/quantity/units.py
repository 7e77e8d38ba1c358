"""The simple units an amount may have, their dimensions, and exact factors between them."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from formulary.quantity import spellings

if TYPE_CHECKING:
    import pint


class Dimension(StrEnum):
    """What a unit measures; amounts of different dimensions never meet without a bridge."""

    MASS = "mass"
    VOLUME = "volume"
    ACTIVITY = "activity"
    DROPS = "drops"
    PIECES = "pieces"
    SUBSTANCE = "amount of substance"
    EQUIVALENTS = "equivalents"
    OSMOLES = "osmoles"
    TIME = "time"
    LENGTH = "length"
    AREA = "area"


MASS = Dimension.MASS
VOLUME = Dimension.VOLUME
ACTIVITY = Dimension.ACTIVITY
DROPS = Dimension.DROPS
PIECES = Dimension.PIECES

IN_FORMULAS = frozenset({MASS, VOLUME, ACTIVITY, DROPS, PIECES})
"""What a formula line can be an amount of; the others occur in calculations only."""

# w/w is mass in mass, w/v mass (g) in volume (100 mL), v/v volume in volume.
KINDS = ("w/w", "w/v", "v/v")
PERCENTS = tuple(f"% {kind}" for kind in KINDS)

_DIMENSIONS = {
    "kg": MASS,
    "g": MASS,
    "mg": MASS,
    "microgram": MASS,
    "nanogram": MASS,
    "L": VOLUME,
    "mL": VOLUME,
    "microlitre": VOLUME,
    "international unit": ACTIVITY,
    "drop": DROPS,
    "piece": PIECES,
    "mol": Dimension.SUBSTANCE,
    "mmol": Dimension.SUBSTANCE,
    "micromole": Dimension.SUBSTANCE,
    "Eq": Dimension.EQUIVALENTS,
    "mEq": Dimension.EQUIVALENTS,
    "Osm": Dimension.OSMOLES,
    "mOsm": Dimension.OSMOLES,
    "minute": Dimension.TIME,
    "hour": Dimension.TIME,
    "day": Dimension.TIME,
    "week": Dimension.TIME,
    "cm": Dimension.LENGTH,
    "mm": Dimension.LENGTH,
    "m2": Dimension.AREA,
    "cm2": Dimension.AREA,
}

SYMBOLS = tuple(_DIMENSIONS)

# In g or mL. Kept ready because every formula meets them and the registry takes a tenth of a
# second and 5 MiB to load; a test holds each pair against the registry.
_EVERYDAY = {
    "kg": Fraction(1000),
    "g": Fraction(1),
    "mg": Fraction(1, 10**3),
    "microgram": Fraction(1, 10**6),
    "nanogram": Fraction(1, 10**9),
    "L": Fraction(1000),
    "mL": Fraction(1),
    "microlitre": Fraction(1, 10**3),
}

# Volume is a dimension of its own here: only a density turns it into anything else.
_DEFINITIONS = """
kilo- = 1e3 = k-
milli- = 1e-3 = m-
micro- = 1e-6
nano- = 1e-9
gram = [mass] = g
litre = [volume] = L
international_unit = [activity]
drop = [drops]
piece = [pieces]
mole = [substance] = mol
equivalent = [equivalents] = Eq
osmole = [osmoles] = Osm
minute = [time]
hour = 60 * minute
day = 24 * hour
week = 7 * day
metre = [length] = m
centimetre = 1/100 * metre = cm
m2 = [area]
cm2 = 1/10000 * m2
"""


def dimension(symbol: str) -> Dimension:
    """Return what the unit measures. Raises ValueError for a symbol that isn't in SYMBOLS."""
    require(symbol)
    return _DIMENSIONS[symbol]


def is_counted(symbol: str) -> bool:
    """Tell whether a simple unit comes in whole numbers without any instrument: drops, pieces."""
    return dimension(symbol) in (Dimension.DROPS, Dimension.PIECES)


def require(symbol: str) -> None:
    """Raise ValueError unless ``symbol`` is a simple unit as the program writes it."""
    if symbol not in _DIMENSIONS:
        raise ValueError(f"{symbol!r} is no unit; the units are {', '.join(SYMBOLS)}")


def require_concentration(unit: str) -> None:
    """Raise ValueError unless ``unit`` is a per cent with its kind or ``<unit>/<unit>``."""
    if unit not in PERCENTS:
        split_concentration(unit)


def split_concentration(unit: str) -> tuple[str, str]:
    """Return ``("mg", "mL")`` for ``mg/mL``. Raises ValueError for a per cent or no unit."""
    part, _, whole = unit.partition("/")
    require(part)
    require(whole)
    return part, whole


@cache
def factor(have: str, want: str) -> Fraction:
    """Return exactly how many ``want`` make one ``have`` (1000 mg make one g).

    Raises :class:`formulary.errors.UnitMismatch` across dimensions.
    """
    if dimension(have) is not dimension(want):
        _refuse(have, want)
    if have in _EVERYDAY:
        return _EVERYDAY[have] / _EVERYDAY[want]
    return by_registry(have, want)


def by_registry(have: str, want: str) -> Fraction:
    """Return the factor between two units of one dimension as the registry defines them."""
    one = _registry().Quantity(Fraction(1), _pint_name(have))
    return Fraction(one.to(_pint_name(want)).magnitude)


def canonical(text: str) -> str | None:
    """Return the symbol of the unit that a person typed, or None if it isn't clearly one."""
    return spellings.SYMBOLS.get(spellings.plain(text)) if refusal(text) is None else None


def refusal(text: str) -> str | None:
    """Return the key of the sentence that says why this unit is never guessed at, if it is so."""
    reason = spellings.REFUSED_AS_TYPED.get(text.strip().removesuffix("."))
    return reason or spellings.REFUSED.get(spellings.plain(text))


@cache
def _registry() -> pint.UnitRegistry[Fraction]:
    """Return the only registry, made from our own definitions at the first conversion."""
    # Importing it takes a tenth of a second that the first window must not wait for.
    import pint

    registry: pint.UnitRegistry[Fraction] = pint.UnitRegistry(None, non_int_type=Fraction)
    registry.load_definitions(_DEFINITIONS.strip().splitlines())
    return registry


def _pint_name(symbol: str) -> str:
    return symbol.replace(" ", "_")


def _refuse(have: str, want: str) -> None:
    # Imported here because errors carry messages, and messages carry amounts.
    from formulary.errors import UnitMismatch
    from formulary.messages import message

    raise UnitMismatch(message("quantity.unit_mismatch", have=have, want=want))
