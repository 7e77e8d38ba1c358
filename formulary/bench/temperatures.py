"""Temperature windows of steps, in °C."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from formulary.formula.content import MethodStep

_NUMBER = r"[0-9]+(?:\.[0-9]+)?"
_BETWEEN = re.compile(rf"(?P<low>{_NUMBER})(?: ?°C)? ?(?:to|–|-) ?(?P<high>{_NUMBER}) ?°C")
_AT_MOST = re.compile(rf"(?:below|under|up to|at most|not above) (?P<high>{_NUMBER}) ?°C")
_AT_LEAST = re.compile(rf"(?:above|over|at least|not below) (?P<low>{_NUMBER}) ?°C")


@dataclass(frozen=True, slots=True)
class Window:
    """The temperatures that are right, both limits allowed."""

    lowest: Fraction | None = None
    highest: Fraction | None = None

    def holds(self, degrees: Fraction) -> bool:
        """Tell whether a temperature is inside."""
        above = self.lowest is None or degrees >= self.lowest
        return above and (self.highest is None or degrees <= self.highest)


def window_of(step: MethodStep) -> Window | None:
    """Return a step's window: its own limits, or what its temperature says where that is plain.

    A single temperature ("95 °C") is something to aim at and no window.
    """
    if step.lowest is not None or step.highest is not None:
        return Window(step.lowest, step.highest)
    text = step.temperature.strip()
    found = _BETWEEN.fullmatch(text) or _AT_MOST.fullmatch(text) or _AT_LEAST.fullmatch(text)
    if found is None:
        return None
    limits = {name: Fraction(typed) for name, typed in found.groupdict().items()}
    return Window(limits.get("low"), limits.get("high"))
