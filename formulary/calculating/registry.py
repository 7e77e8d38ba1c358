"""Every calculation there is, found by its file."""

from __future__ import annotations

import importlib
import pkgutil
from difflib import get_close_matches
from functools import cache

from formulary import calculations
from formulary.calculating.describing import Calculation
from formulary.errors import NotFound
from formulary.messages import message

MOST_NEAR = 5


@cache
def every_calculation() -> tuple[Calculation, ...]:
    """Return all calculations in the order of their files."""
    found: list[Calculation] = []
    for module_info in pkgutil.iter_modules(calculations.__path__):
        module = importlib.import_module(f"{calculations.__name__}.{module_info.name}")
        found.extend(module.CALCULATIONS)
    return tuple(found)


def calculation_named(name: str) -> Calculation:
    """Return the calculation of that name. Raises :class:`formulary.errors.NotFound`."""
    for calculation in every_calculation():
        if calculation.name == name:
            return calculation
    near = near_names(name)
    key = "no_such_calculation" if near else "no_calculation_like_it"
    raise NotFound(message(f"calculating.{key}", name=name, near=", ".join(near)))


def near_names(name: str) -> tuple[str, ...]:
    """Return the names of calculations that are like this one: its beginnings first."""
    every = [each.name for each in every_calculation()]
    begun = [each for each in every if name and each.startswith(name.casefold())]
    alike = get_close_matches(name.casefold(), every, MOST_NEAR)
    return tuple(dict.fromkeys((*begun, *alike)))[:MOST_NEAR]
