"""Signatures: who put a name to what, when, and what it means."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class Meaning(StrEnum):
    """What a signature says (21 CFR 11.50 asks that it be shown with name, date and time)."""

    PUT_IN_USE = "put in use"
    CHECKED = "checked"
    MADE = "made"
    WITNESSED = "witnessed"
    DECIDED = "decided"
    IDENTIFIED = "identified"
    ACCEPTED = "accepted"
    REJECTED = "rejected"
    RELEASED = "released"
    HANDED_OVER = "handed over"
    SELF_CHECKED = "checked again alone"
    APPROVED = "approved for patients"
    RULED = "made a rule of the house"


@dataclass(frozen=True, slots=True)
class Signature:
    """A person's name under an act, asked for again at that moment.

    ``alone_because`` is the reason where nobody else could sign; ``content_hash`` binds it to what
    was signed.
    """

    person_id: str
    person: str
    post: str
    meaning: Meaning
    at: datetime
    content_hash: str = ""
    alone_because: str = ""
