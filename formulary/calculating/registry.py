"""Every calculation there is, found by its file."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache

from formulary import calculations
from formulary.calculating.describing import Calculation
from formulary.errors import NotFound
from formulary.messages import message


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
    known = ", ".join(calculation.name for calculation in every_calculation())
    raise NotFound(message("calculating.no_such_calculation", name=name, known=known))
