"""Many rows in one transaction: all are kept, each by its own verb, or none of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from typing import Protocol, TypeAlias, TypeVar

from formulary.desk import Desk
from formulary.errors import FormularyError, StoreTrouble
from formulary.taking_over import Fated, is_sound, refused

Keep: TypeAlias = Callable[[Sequence[Fated]], bool]
"""Whether to keep what was done, by the fates that it has."""


class Row(Protocol):
    """What is taken over."""

    @property
    def name(self) -> str: ...
    @property
    def line(self) -> int: ...


R = TypeVar("R", bound=Row)


class _Undone(Exception):
    """Nothing of it is to be kept; no error, it only leaves the transaction."""


def only_look(_: Sequence[Fated]) -> bool:
    """Keep nothing: the fates are a preview, found by doing it all and taking it back."""
    return False


def as_seen(fates: Sequence[Fated]) -> Keep:
    """Keep it only where each fate is still what somebody saw and agreed to."""
    return lambda found: is_sound(found) and tuple(found) == tuple(fates)


def all_or_nothing(
    desk: Desk, rows: Sequence[R], take: Callable[[Desk, R], Fated], keep: Keep = is_sound
) -> tuple[Fated, ...]:
    """Take each row over and return the fates; unless they are to be kept, nothing is.

    A row that can't be taken over is one of the fates, and others are tried, so that one trouble
    never hides another.
    """
    fates: list[Fated] = []
    with suppress(_Undone), desk.store.at_once() as whole:
        there = replace(desk, store=whole, known_house=desk.house)
        fates += [_fate(there, row, take) for row in rows]
        _undo_unless(keep(fates))
    return tuple(fates)


def _undo_unless(kept: bool) -> None:  # noqa: FBT001  the judgement itself
    if not kept:
        raise _Undone


def _fate(desk: Desk, row: R, take: Callable[[Desk, R], Fated]) -> Fated:
    try:
        return take(desk, row)
    except StoreTrouble:
        raise
    except FormularyError as error:
        return refused(row.name, row.line, error)
