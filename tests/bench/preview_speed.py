"""How long the label's preview takes to follow a keystroke: read, laid out, drawn, rasterised.

The floor is rasterising a PDF that is there already, which no preview can do without.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.labels.raster import rasterise
from formulary.labels.stock import label_stock
from formulary.opening import create_sample
from formulary.people import Person
from formulary.verbs.start_preparation import Order
from tests.bench.measuring import Figure, median_time, percentile, timed
from ui.context import Trial
from ui.labels.proof import Wanted, prove
from ui.labels.subject import of_trial

TYPED = "Apply a thin layer to the dry skin in the morning and in the evening. "
FORMULA, TARGET = "CR-001", "3 x 60 g"
AIM = "p95 under 50"
SCREEN_DOTS = 96.0


def figures() -> Iterator[Figure]:
    """Yield the time from a key to the picture, while it fits and once it doesn't."""
    with tempfile.TemporaryDirectory() as folder:
        desk = create_sample(Path(folder) / "house.misce", worked=False)
        try:
            yield from _typing(replace(desk, person=desk.store.every(Person)[0], signed_in=True))
        finally:
            desk.store.close()


def _typing(desk: Desk) -> Iterator[Figure]:
    wanted = _wanted(desk)
    ready = prove(desk, wanted).pdf
    floor = median_time(lambda: rasterise(ready, 0, SCREEN_DOTS))
    for name, typed in (("fits", TYPED * 2), ("doesn't fit", TYPED * 20)):
        said = [typed[:at] for at in range(len(typed) - 60, len(typed))]
        took = [timed(partial(_key, desk, wanted, each)) for each in said]
        yield Figure(f"preview after a key, {name}, p95", "ms", percentile(took, 0.95), floor, AIM)


def _wanted(desk: Desk) -> Wanted:
    (formula,) = desk.store.formulas_named(FORMULA)
    version = desk.store.versions(formula.id)[-1]
    subject = of_trial(desk, Trial(version.id, Order(TARGET)))
    stock = label_stock("100x50")
    return Wanted(subject, subject.address, stock, None, "en", 0, SCREEN_DOTS)


def _key(desk: Desk, wanted: Wanted, directions: str) -> None:
    """Prove what is typed, as the page does after each key; a refusal is an answer too."""
    try:
        prove(desk, replace(wanted, address=replace(wanted.address, directions=directions)))
    except Refusal:
        return
