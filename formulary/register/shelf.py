"""The filled jars that are still here: how long each lasts, what runs out, what has to go."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from formulary.bench.kept import FilledJar, Place
from formulary.bench.stages import Stage
from formulary.preparation import Preparation
from formulary.stock.recall import Recall

SOON = 14
"""Days: a jar that lasts no longer is shown as running out. A house's habit, no source."""


class JarStanding(StrEnum):
    """How a jar on the shelf stands today, the most urgent first."""

    RECALLED = "recalled"
    REJECTED = "rejected"
    EXPIRED = "expired"
    ENDING = "ending"
    GOOD = "good"


TO_THROW_AWAY = frozenset({JarStanding.RECALLED, JarStanding.REJECTED, JarStanding.EXPIRED})
"""What may never be handed over any more."""

_ORDER = {each: place for place, each in enumerate(JarStanding)}


@dataclass(frozen=True, slots=True)
class JarOnShelf:
    """A jar here: ``jar_id`` is the lot, a slash and its number."""

    jar_id: str
    lot: str
    title: str
    use_by: date
    standing: JarStanding

    def days_left(self, today: date) -> int:
        """Return how many days beyond today are left; below zero it is over."""
        return (self.use_by - today).days


def on_shelf(
    jars: Iterable[FilledJar],
    preparations: Mapping[str, Preparation],
    recalls: Iterable[Recall],
    today: date,
    soon: int = SOON,
) -> tuple[JarOnShelf, ...]:
    """Return the jars still here, the most urgent first; ``preparations`` are by their ids.

    The last day of use counts as a day of use.
    """
    orders = tuple(recalls)
    found = [
        _jar(each, preparations[each.preparation_id], orders, today, soon)
        for each in jars
        if each.place is Place.SHELF and each.preparation_id in preparations
    ]
    return tuple(sorted(found, key=lambda each: (_ORDER[each.standing], each.use_by, each.jar_id)))


def standing_of(
    stage: Stage, use_by: date, today: date, soon: int = SOON, *, recalled: bool = False
) -> JarStanding:
    """Return how a jar of a preparation stands, the most urgent of what applies."""
    if recalled:
        return JarStanding.RECALLED
    if stage in (Stage.REJECTED, Stage.CANCELLED):
        return JarStanding.REJECTED
    left = (use_by - today).days
    if left < 0:
        return JarStanding.EXPIRED
    return JarStanding.ENDING if left <= soon else JarStanding.GOOD


def to_throw_away(jars: Iterable[JarOnShelf]) -> tuple[JarOnShelf, ...]:
    """Return what has to go: expired, rejected or recalled, and still here."""
    return tuple(each for each in jars if each.standing in TO_THROW_AWAY)


def running_out(jars: Iterable[JarOnShelf]) -> tuple[JarOnShelf, ...]:
    """Return what lasts only a few days more."""
    return tuple(each for each in jars if each.standing is JarStanding.ENDING)


def reached_by(recalls: Iterable[Recall]) -> frozenset[str]:
    """Return the ids of the preparations that a recall reached; a practice reaches nothing."""
    real = tuple(each.reach for each in recalls if not each.practice)
    return frozenset(one for each in real for one in (*each.made, *each.open_work))


def recalled_by(recalls: Iterable[Recall], preparation_id: str, jar_id: str = "") -> bool:
    """Whether a recall reached the preparation or this jar of it; a practice reaches nothing."""
    return any(
        jar_id in each.reach.shelf_jars
        or preparation_id in each.reach.made
        or preparation_id in each.reach.open_work
        for each in recalls
        if not each.practice
    )


def came_back(recalls: Iterable[Recall], jar_id: str) -> bool:
    """Whether a jar that was handed over came back in a recall."""
    return any(jar_id in contact.back for each in recalls for contact in each.contacts)


def _jar(
    jar: FilledJar, made: Preparation, recalls: Iterable[Recall], today: date, soon: int
) -> JarOnShelf:
    recalled = recalled_by(recalls, made.id, jar.id)
    standing = standing_of(made.stage, made.use_by, today, soon, recalled=recalled)
    return JarOnShelf(jar.id, made.lot, made.title, made.use_by, standing)
