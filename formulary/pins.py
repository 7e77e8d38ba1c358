"""PINs and passphrases: hashed with Argon2id (RFC 9106), never kept or shown themselves."""

from __future__ import annotations

from itertools import pairwise

from formulary.errors import BadText
from formulary.messages import message

SHORTEST = 4
"""Characters of a PIN; wrong tries slow down, so four digits hold at a shared bench."""


def require_sound(pin: str) -> None:
    """Raise :class:`formulary.errors.BadText` for a PIN that anybody would try first."""
    if len(pin) < SHORTEST:
        raise BadText(message("people.pin_short", n=SHORTEST), field="pin")
    steps = {ord(after) - ord(before) for before, after in pairwise(pin)}
    if len(steps) == 1 and steps <= {-1, 0, 1}:
        raise BadText(message("people.pin_easy"), field="pin")


def hash_of(pin: str) -> str:
    """Return what is kept of a PIN. Raises BadText as :func:`require_sound` does."""
    require_sound(pin)
    # Loaded only where somebody signs.
    from argon2 import PasswordHasher

    return PasswordHasher().hash(pin)


def quick_hash_of(pin: str) -> str:
    """Return what is kept of a PIN that is no secret, such as the sample's: made in no time."""
    from argon2 import PasswordHasher

    return PasswordHasher(time_cost=1, memory_cost=8, parallelism=1).hash(pin)


def fits(pin: str, kept: str) -> bool:
    """Tell whether a PIN is the one that was kept."""
    from argon2 import PasswordHasher
    from argon2.exceptions import VerifyMismatchError

    try:
        return PasswordHasher().verify(kept, pin)
    except VerifyMismatchError:
        return False
