"""A calculation kept with the formula or preparation it was done for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class KeptCalculation:
    """A sum of the trade as it was asked and answered; never changed once kept.

    ``subject_id`` is the id of a formula or a preparation. ``figure`` is its main
    result in words. ``given`` holds each input's name and its text as typed with ``decimal_sign``;
    ``answer`` is the canonical JSON of results, working, source and cautions as they were said
    then, in ``language``.
    """

    id: str
    subject_id: str
    calculation: str
    title: str
    figure: str
    given: tuple[tuple[str, str], ...]
    decimal_sign: str
    answer: str
    language: str
    note: str
    kept_at: datetime
    kept_by: str
    revision: int = 0
