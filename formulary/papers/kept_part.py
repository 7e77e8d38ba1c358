"""The calculations kept with a formula or a preparation, each with its figure and who kept it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Protocol

from formulary.kept_calculation import KeptCalculation
from formulary.papers.blocks import Block, Text, heading, line, small
from formulary.papers.words import Words


class WithCalculations(Protocol):
    """Something with which calculations were kept."""

    @property
    def kept(self) -> Iterable[KeptCalculation]:
        """Return them, oldest first."""


def calculations(subject: WithCalculations, words: Words) -> Iterator[Block]:
    """Yield each of them."""
    head = (heading(words("kept.title")),)
    for each in subject.kept:
        by = words.signed(each.kept_by, each.kept_at)
        said = words("kept.one", title=each.title, figure=each.figure, by=by)
        texts = [Text(said), *([small(each.note)] if each.note else [])]
        yield Block((line(*texts, above_mm=0.8),), head)
