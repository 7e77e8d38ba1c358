"""Fetch a container for a line: the right one is staged, a wrong one stays on record as refused."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Unpack

from formulary.bench.events import ContainerRefused, ContainerStaged
from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import BadText, NotFound, Refusal
from formulary.messages import Message
from formulary.verbs.fit_for_work import day_of
from formulary.verbs.shortened_treatment import shortened_by
from formulary.verbs.weigh_line import staged
from formulary.verbs.work_at_bench import AtBench, Backing, at_bench, record


@dataclass(frozen=True, slots=True)
class Fetched:
    """Where the preparation stands with a container's number, or with the ``refusal`` of one.

    ``shortens`` says that the container brings the use-by date forward. That is told and asks for
    no reason: the earliest of all dates counts anyhow, and the record names what it came from. Only
    where it ends before the treatment does somebody decide.
    """

    after: AtBench
    container: str = ""
    refusal: Refusal | None = None
    shortens: Message | None = None


def stage_container(
    desk: Desk, lot: str, line: int, number: str, *, typed: bool, **backing: Unpack[Backing]
) -> Fetched:
    """Record the container that was scanned or typed for a line, or that it was refused, and why.

    A number that was only mistyped isn't kept, nor one that is entered from paper: nobody fetched
    that. Raises :class:`formulary.errors.Refusal` for those, and where nothing may be fetched now.
    """
    original = backing.get("original")
    try:
        held = staged(desk, at_bench(desk.store, lot), line, number, day_of(desk, original))
    except Refusal as refusal:
        mistyped = typed and isinstance(refusal, BadText | NotFound)
        if mistyped or original is not None:
            raise
        event = ContainerRefused(line, number.strip(), _said(desk, refusal), typed)
        return Fetched(record(desk, lot, event, **backing), refusal=refusal)
    container = held.container.number
    found = ContainerStaged(line, container, held.lot.number, typed)
    after = record(desk, lot, found, **backing)
    return Fetched(after, container, shortens=shortened_by(desk.store, after.preparation, held))


def _said(desk: Desk, refusal: Refusal) -> str:
    house = desk.house
    return Catalogue(house.language, house.decimal_sign).text(refusal.message)
