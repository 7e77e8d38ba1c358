"""The figures of a formula's latest preparations, with their control limits."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.errors import NotFound
from formulary.preparation import Preparation
from formulary.register.series import Figure, Series, figures_of, series_of
from formulary.store import Reading
from formulary.verbs.work_at_bench import at_bench, happened

LATEST = 60
"""Preparations: what was made long ago says little of how it is made now. Ours, no source."""


def figures_of_formula(store: Reading, formula_id: str) -> tuple[Series, ...]:
    """Return a formula's figures by measure, those of its latest preparations."""
    made = store.columns(Preparation, ("started_at", "lot", "made_on"), "formula_id", {formula_id})
    latest = sorted(made)[-LATEST:]
    return series_of(each for _, lot, _ in latest for each in _figures(store, lot))


def _figures(store: Reading, lot: str) -> Iterator[Figure]:
    try:
        found = at_bench(store, lot)
    except NotFound:
        # Started before work at the bench was kept: there are no figures of it.
        return
    yield from figures_of(lot, found.preparation.made_on, found.state, happened(found.events))
