"""A version of the house's own layout for labels of one stock, as readable text."""

from __future__ import annotations

from dataclasses import dataclass

from formulary.signing import Signature


@dataclass(frozen=True, slots=True)
class HouseLayout:
    """One version, ``number``, for the stock of that code; ``text`` is what was laid out, as TOML.

    A draft until a pharmacist signs it; ``ended`` once another version took its place, or the
    program's own layout did.
    """

    id: str
    stock: str
    number: int
    text: str
    signature: Signature | None = None
    ended: Signature | None = None
    revision: int = 0

    @property
    def is_draft(self) -> bool:
        """Whether it was never in use."""
        return self.signature is None

    @property
    def in_use(self) -> bool:
        """Whether labels of its stock are printed by it."""
        return self.signature is not None and self.ended is None
