"""The water that a substance holds by its formula, which no loss on drying may be taken for."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from fractions import Fraction

from formulary.calculating.chemistry import molar_mass, parts

_WATER = Counter({"H": 2, "O": 1})
_HYDRATE = re.compile(
    r"\b(?:hemi|sesqui|mono|di|tri|tetra|penta|hexa|hepta|octa|deca)-?h[yi]dr"
    r"(?:ate?|até|ato|icum|icus|ica|onym)\b",
    re.IGNORECASE,
)


def own_water(formula: str) -> Fraction:
    """Return the share of water of crystallisation in a formula, in per cent: C6H8O7.H2O has 8.57.

    Raises :class:`formulary.errors.BadText` for what is no formula.
    """
    waters = sum((times for times, atoms in parts(formula) if atoms == _WATER), Fraction(0))
    if not waters or len(parts(formula)) == 1:
        return Fraction(0)
    return waters * molar_mass("H2O") / molar_mass(formula) * 100


def says_hydrate(names: Iterable[str]) -> bool:
    """Tell whether a name says that the substance holds water of crystallisation."""
    return any(_HYDRATE.search(name) for name in names)
