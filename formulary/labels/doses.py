"""Whether the dose that a label names can be meant."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.labels.content import LabelContent
from formulary.messages import Message, message
from formulary.quantity.amount import Concentration
from formulary.wording.dose_checks import is_beyond, mistaken


def dose_doubts(content: LabelContent, strength: Concentration | None) -> Iterator[Message]:
    """Yield why a dose can't be meant, by the only active's strength and by what was filled."""
    typed = content.directions if content.dosing is None else content.dosing.note
    for each in mistaken(typed, strength):
        dose, holds = each.dose, each.holds
        yield message("label.dose_wrong", typed=dose.typed, volume=dose.volume, holds=holds)
    filled = content.quantity * content.containers
    if content.dosing is not None and content.dosing.amount and is_beyond(content.dosing, filled):
        yield message("label.dose_beyond", dose=content.dosing.amount, filled=filled)
