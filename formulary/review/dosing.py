"""Whether the doses that directions name fit the strength."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.finding import Finding
from formulary.review.case import Case
from formulary.review.rule import Rule, reason, standard, stop
from formulary.review.strong import TENFOLD
from formulary.wording.dose_checks import mistaken
from formulary.wording.strength import only_strength


def dose_in_directions(case: Case) -> Iterator[Finding]:
    """Find a dose in mL and mg in the directions that the only active's strength doesn't give."""
    for each in mistaken(case.content.label.directions, only_strength(case.content)):
        find = stop if each.times >= TENFOLD[0] else reason
        yield find(
            "dose_wrong",
            "label.directions",
            standard("doses"),
            typed=each.dose.typed,
            volume=each.dose.volume,
            holds=each.holds,
        )


RULES = (Rule("dose_in_directions", dose_in_directions),)
