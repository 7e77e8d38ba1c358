"""The jars that are here, and one jar by what stands on its label: no patient is in either."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from formulary.bench.kept import FilledJar, Place
from formulary.bench.stages import Stage, is_earlier
from formulary.errors import BadText, NotFound
from formulary.formula.content import Storage
from formulary.formula.version import Version
from formulary.labels.jar_code import JAR_SIGN, jar_named
from formulary.messages import message
from formulary.preparation import Preparation
from formulary.register.shelf import (
    JarOnShelf,
    JarStanding,
    came_back,
    on_shelf,
    recalled_by,
    standing_of,
)
from formulary.stock.recall import Recall
from formulary.store import Reading


@dataclass(frozen=True, slots=True)
class JarSeen:
    """What anybody may read of a jar; ``number`` is 0 where only the lot was scanned.

    ``storage`` and ``after_opening`` are those of the very version that it was made by.
    ``place`` is None where nothing is on record of where the jar is; ``came_back`` is whether it
    was handed over and came back in a recall.
    """

    lot: str
    number: int
    title: str
    version_number: int
    storage: Storage | None
    made_on: date
    use_by: date
    stage: Stage
    standing: JarStanding
    place: Place | None
    came_back: bool = False


def list_shelf(store: Reading, today: date) -> tuple[JarOnShelf, ...]:
    """Return the jars still here, the most urgent first."""
    jars = store.having(FilledJar, place=Place.SHELF.value)
    made = store.having_any(Preparation, "id", {each.preparation_id for each in jars})
    return on_shelf(jars, {each.id: each for each in made}, store.every(Recall), today)


def look_up_jar(store: Reading, typed: str, today: date) -> JarSeen:
    """Return the jar of a lot, with or without its number (``K26-00042/2``), typed or scanned.

    Raises :class:`formulary.errors.NotFound` for a lot that was never given or a jar that was
    never filled, :class:`formulary.errors.BadText` for a number that is none.
    """
    lot, sign, said = (part.strip() for part in jar_named(typed).partition(JAR_SIGN))
    if sign and not said.isdecimal():
        raise BadText(message("register.shelf_look_up.no_number", typed=typed.strip()))
    made = store.preparation(lot)
    if made is None:
        raise NotFound(message("verbs.no_such_lot", lot=lot))
    number = int(said or "0")
    jar = _jar(store, made, number)
    version = store.get(Version, made.version_id)
    recalls = store.every(Recall)
    return JarSeen(
        lot=made.lot,
        number=number,
        title=made.title,
        version_number=made.version_number,
        storage=version.content.storage if version is not None else None,
        made_on=made.made_on,
        use_by=made.use_by,
        stage=made.stage,
        standing=standing_of(
            made.stage,
            made.use_by,
            today,
            recalled=recalled_by(recalls, made.id, jar.id if jar is not None else ""),
        ),
        place=jar.place if jar is not None else None,
        came_back=jar is not None and came_back(recalls, jar.id),
    )


def _jar(store: Reading, made: Preparation, number: int) -> FilledJar | None:
    """Return the kept jar of that number. Raises NotFound for one that there isn't."""
    if not number:
        return None
    found = store.get(FilledJar, f"{made.lot}{JAR_SIGN}{number}")
    not_filled = found is None and not is_earlier(made.stage, Stage.PACKED)
    if not_filled or (number > made.containers and found is None):
        raise NotFound(message("register.complaint.no_jar", number=number))
    return found
