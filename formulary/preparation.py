"""A preparation from the moment it is started: its lot, what was planned, and its label prints."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from formulary.bench.stages import Stage
from formulary.quantity.amount import Amount
from formulary.wording.directions import Dosing


@dataclass(frozen=True, slots=True)
class Preparation:
    """One batch under its lot number.

    ``target`` is the scaling's target as written, ``plan`` the canonical text of the scaling it
    was started with. ``patient_id`` and ``prescriber_id`` point at identities, kept apart.
    ``fill`` is what each of ``containers`` holds; ``workstation`` is where it is worked on;
    ``order_id`` is the order that it is made for, if there is one; ``language`` and ``dosing`` are
    as an order's. ``dating`` is the canonical text of how ``use_by`` came about; it is final once
    the containers are filled.
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
    stage: Stage = Stage.PLANNED
    directions: str = ""
    patient_id: str = ""
    prescriber_id: str = ""
    sample: bool = False
    workstation: str = ""
    order_id: str = ""
    language: str = ""
    dosing: Dosing | None = None
    dating: str = ""
    revision: int = 0


@dataclass(frozen=True, slots=True)
class LabelPrint:
    """One print or PDF of a preparation's label: what it said, without any person's identity.

    A ``proof`` was printed before anything was packed, and says so across its face; it is no label.
    ``copies`` counts labels, ``containers`` what they are for: one that has two labels is one (none
    in prints from before this was noted). ``leaflets`` were printed with them. ``layout`` is the
    version of the house's own layout for that stock, 0 for the program's. ``drawn`` is every label
    as it was drawn, but for people's names; empty in prints from before that was kept.
    """

    id: str
    preparation_id: str
    lot: str
    stock: str
    language: str
    copies: int
    content: str
    printed_at: datetime
    printed_by: str
    proof: bool = False
    containers: int = 0
    leaflets: int = 0
    layout: int = 0
    drawn: str = ""
    revision: int = 0
