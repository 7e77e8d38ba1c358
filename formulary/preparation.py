"""A preparation from the moment it is started: its lot, what was planned, and its label prints."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from formulary.quantity.amount import Amount


class Stage(StrEnum):
    """How far a preparation has come."""

    STARTED = "started"
    LABELLED = "labelled"


@dataclass(frozen=True, slots=True)
class Preparation:
    """One batch under its lot number.

    ``target`` is the scaling's target as written, ``plan`` the canonical text of the scaling it
    was started with. ``patient_id`` and ``prescriber_id`` point at identities, kept apart.
    ``fill`` is what each of ``containers`` holds.
    """

    id: str
    lot: str
    version_id: str
    formula_id: str
    code: str
    title: str
    version_number: int
    target: str
    plan: str
    containers: int
    fill: Amount
    made_on: date
    use_by: date
    started_at: datetime
    started_by: str
    stage: Stage = Stage.STARTED
    directions: str = ""
    patient_id: str = ""
    prescriber_id: str = ""
    sample: bool = False
    revision: int = 0


@dataclass(frozen=True, slots=True)
class LabelPrint:
    """One print or PDF of a preparation's label: what it said, without any person's identity."""

    id: str
    preparation_id: str
    lot: str
    stock: str
    language: str
    copies: int
    content: str
    printed_at: datetime
    printed_by: str
    revision: int = 0
