"""Pictures where people would rather look than read; each one says in words what it shows."""

from __future__ import annotations

from collections.abc import Callable

from formulary.catalogue import Catalogue
from ui.calculations.answer import Answer
from ui.calculations.pictures.alligation import alligation_cross
from ui.calculations.pictures.capsules import capsule_sizes
from ui.calculations.pictures.ethanol import contraction_plot
from ui.calculations.pictures.moulds import mould_row
from ui.calculations.pictures.picture import Drawing

_DRAWN: dict[str, Callable[[Answer, Catalogue], Drawing | None]] = {
    "alligation": alligation_cross,
    "ethanol-dilution": contraction_plot,
    "capsule-filling": capsule_sizes,
    "capsule-size": capsule_sizes,
    "suppositories": mould_row,
}


def drawing_of(answer: Answer, catalogue: Catalogue) -> Drawing | None:
    """Return the picture of an answer, None where there is none to draw."""
    draw = _DRAWN.get(answer.question.calculation.name)
    return draw(answer, catalogue) if draw is not None and answer.outcome is not None else None
