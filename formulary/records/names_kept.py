"""How the names of people outside the house are kept: readable, or under a key."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Text, func, select, type_coerce
from sqlalchemy.orm import Session

from formulary.names_key import MARK, KeyMissing, has_key, is_copied, opened
from formulary.records.tables import IdentityRow

_NAME = type_coerce(IdentityRow.name, Text)
"""The name as it is kept."""


@dataclass(frozen=True, slots=True)
class NamesKept:
    """How many names stand ``plain`` in the formulary, and how many are ``locked``.

    ``opens`` is whether this computer reads the locked ones; ``has_key`` and ``is_copied`` are of
    its key.
    """

    plain: int
    locked: int
    opens: bool
    has_key: bool
    is_copied: bool


def names_kept(session: Session) -> NamesKept:
    """Return how names are kept."""
    under_key = _NAME.startswith(MARK)
    count = select(func.count()).select_from(IdentityRow)
    locked = session.scalar(count.where(under_key)) or 0
    plain = session.scalar(count.where(~under_key, _NAME != "")) or 0
    try:
        require_key(session)
        opens = True
    except KeyMissing:
        opens = False
    return NamesKept(plain, locked, opens, has_key(), is_copied())


def require_key(session: Session) -> None:
    """Raise KeyMissing where names are under a key that isn't on this computer."""
    locked = session.scalar(select(_NAME).where(_NAME.startswith(MARK)).limit(1))
    if locked is not None:
        opened(locked)
