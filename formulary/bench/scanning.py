"""What a container's number, scanned or typed, means for a line: right, or a stop with a sentence.

Identity comes before weight: substance, salt or hydrate, strength and kind of source must be those
of the formula, and there is no "close enough".
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.messages import Message, message
from formulary.quantity.amount import Amount


class Source(StrEnum):
    """What a container's content is: told apart, since one never stands in for another."""

    SUBSTANCE = "substance"
    CONCENTRATE = "concentrate"
    TABLET = "tablet"
    CAPSULE = "capsule"
    BASE = "base"
    INTERMEDIATE = "intermediate"


class Status(StrEnum):
    """How a container stands: only an accepted one is ever weighed from."""

    QUARANTINE = "quarantine"
    ACCEPTED = "accepted"
    REJECTED = "rejected"
    RECALLED = "recalled"
    EMPTY = "empty"


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the formula asks for on a line; ``look_alikes`` are names easily taken for it.

    ``grade`` is the salt, hydrate or grade, empty where the formula leaves it open; ``strength`` is
    that of a concentrate or tablet as written.
    """

    ingredient_id: str
    ingredient: str
    grade: str = ""
    source: Source = Source.SUBSTANCE
    strength: str = ""
    look_alikes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ContainerSeen:
    """A container as the stock knows it at this moment.

    ``expiry`` is the last day of use, ``opened_until`` the last day after opening, if it was
    opened. ``on_hand`` is the book stock, which never stops the bench by itself.
    """

    number: str
    ingredient_id: str
    ingredient: str
    grade: str
    source_kind: Source
    strength: str
    status: Status
    expiry: date | None
    opened_until: date | None
    on_hand: Amount | None


@dataclass(frozen=True, slots=True)
class Seen:
    """What was found: ``stops`` forbid weighing from it, ``notes`` are said and confirmed."""

    stops: tuple[Finding, ...]
    notes: tuple[Finding, ...]

    @property
    def right(self) -> bool:
        """Whether the line may be weighed from this container."""
        return not self.stops


def seen(
    container: ContainerSeen,
    wanted: Wanted,
    today: date,
    *,
    other_open: str = "",
    typed: bool = False,
) -> Seen:
    """Return what a container means for a line.

    ``other_open`` is the number of another opened container of the same lot, if there is one;
    ``typed`` marks a number that wasn't scanned.
    """
    stops = (*_identity(container, wanted), *_state(container, today))
    notes = (*_look_alike(wanted), *_open(container, other_open), *_typed(container, typed=typed))
    return Seen(
        tuple(Finding(Severity.STOP, said, "container") for said in stops),
        tuple(Finding(Severity.NOTE, said, "container") for said in notes),
    )


def require_right(found: Seen) -> None:
    """Refuse a container that stops the line, with the first sentence that says why."""
    if found.stops:
        raise Refusal(found.stops[0].said)


def _identity(container: ContainerSeen, wanted: Wanted) -> Iterator[Message]:
    """Yield the first that differs: substance, then form, source and strength of it."""
    if container.ingredient_id != wanted.ingredient_id:
        yield _said("wrong_ingredient", container, found=container.ingredient, wanted=wanted)
    elif container.source_kind is not wanted.source:
        yield message(
            "bench.scanning.other_source",
            number=container.number,
            found=_source(container.source_kind),
            wanted=_source(wanted.source),
        )
    elif wanted.grade and not _same(container.grade, wanted.grade):
        found = container.grade or message("bench.scanning.not_stated")
        yield _differs("other_grade", container, found, wanted.grade)
    elif not _same(container.strength, wanted.strength):
        nothing = message("bench.scanning.not_stated")
        yield _differs(
            "other_strength", container, container.strength or nothing, wanted.strength or nothing
        )


def _differs(
    key: str, container: ContainerSeen, found: str | Message, wanted: str | Message
) -> Message:
    return message(
        f"bench.scanning.{key}",
        number=container.number,
        ingredient=container.ingredient,
        found=found,
        wanted=wanted,
    )


def _said(key: str, container: ContainerSeen, *, found: str, wanted: Wanted) -> Message:
    return message(
        f"bench.scanning.{key}", number=container.number, found=found, wanted=wanted.ingredient
    )


def _same(one: str, other: str) -> bool:
    return " ".join(one.casefold().split()) == " ".join(other.casefold().split())


def _source(kind: Source) -> Message:
    return message(f"bench.scanning.source.{kind.name.lower()}")


def _state(container: ContainerSeen, today: date) -> Iterator[Message]:
    named = {"number": container.number, "ingredient": container.ingredient}
    if container.status is not Status.ACCEPTED:
        yield message(f"bench.scanning.{container.status.name.lower()}", **named)
    if container.expiry is not None and container.expiry < today:
        yield message("bench.scanning.expired", on=container.expiry, **named)
    if container.opened_until is not None and container.opened_until < today:
        yield message("bench.scanning.opened_too_long", on=container.opened_until, **named)


def _look_alike(wanted: Wanted) -> Iterator[Message]:
    if wanted.look_alikes:
        yield message(
            "bench.scanning.look_alike", ingredient=wanted.ingredient, others=wanted.look_alikes
        )


def _open(container: ContainerSeen, other_open: str) -> Iterator[Message]:
    if other_open and other_open != container.number and container.opened_until is None:
        yield message("bench.scanning.other_open", number=container.number, other=other_open)
    if container.on_hand is not None and container.on_hand.number <= 0:
        yield message("bench.scanning.book_empty", number=container.number)


def _typed(container: ContainerSeen, *, typed: bool) -> Iterator[Message]:
    if typed:
        yield message("bench.scanning.typed", number=container.number)
