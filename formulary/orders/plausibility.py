"""The signed plausibility check: what a pharmacist looks at before anything is made.

The points are those that section 7 of the German pharmacy practice order (ApBetrO) names; other
places ask the same in other words. Allergies were added for orders that name a patient.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from formulary.errors import Forbidden, Refusal
from formulary.messages import Message, message
from formulary.people import Post
from formulary.signing import Meaning, Signature


class Item(StrEnum):
    """What is looked at."""

    DOSE = "dose"
    ROUTE = "route"
    COMPATIBILITY = "compatibility"
    QUALITY = "quality"
    SHELF_LIFE = "shelf life"
    ALLERGIES = "allergies"


class Opinion(StrEnum):
    """What a pharmacist thinks of an item."""

    OK = "ok"
    DOUBTFUL = "doubtful"


@dataclass(frozen=True, slots=True)
class Judged:
    """An item with the opinion on it; a doubt says why, and in time what was decided about it."""

    item: Item
    opinion: Opinion
    note: str = ""
    decision: str = ""

    @property
    def is_undecided(self) -> bool:
        """Return whether a doubt waits for its decision."""
        return self.opinion is Opinion.DOUBTFUL and not self.decision.strip()


@dataclass(frozen=True, slots=True)
class Subject:
    """What was checked: should any of it change, the check no longer holds.

    ``content_hash`` is that of the formula version's content, since a draft can be written again.
    """

    version_id: str
    content_hash: str
    patient_id: str
    target: str
    directions: str
    treatment_days: int | None


@dataclass(frozen=True, slots=True)
class Check:
    """A check as it was signed; another one is added after it, never put in its place."""

    subject: Subject
    judged: tuple[Judged, ...]
    signature: Signature

    @property
    def undecided(self) -> tuple[Judged, ...]:
        """Return the doubts that wait for a decision."""
        return tuple(each for each in self.judged if each.is_undecided)


def sign(subject: Subject, judged: Sequence[Judged], signature: Signature) -> Check:
    """Return the signed check.

    Raises :class:`formulary.errors.Refusal` where an item is missing or a doubt doesn't say why,
    :class:`formulary.errors.Forbidden` unless a pharmacist signs, and ValueError for a signature
    that means something else.
    """
    if signature.meaning is not Meaning.CHECKED:
        raise ValueError(f"a signature that means {signature.meaning.value!r} can't check an order")
    if signature.post != Post.PHARMACIST.value:
        raise Forbidden(message("orders.check.not_pharmacist", person=signature.person))
    if not subject.version_id:
        raise Refusal(message("orders.block.no_formula"))
    _require_all_once(judged)
    for each in judged:
        if each.opinion is Opinion.DOUBTFUL and not each.note.strip():
            raise Refusal(message("orders.check.no_note", item=said(each.item)))
    return Check(subject, tuple(judged), signature)


def said(item: Item) -> Message:
    """Return an item's name as a message."""
    return message(f"orders.item.{item.value}")


def _require_all_once(judged: Sequence[Judged]) -> None:
    found = [each.item for each in judged]
    if len(set(found)) < len(found):
        raise ValueError("an item is judged once")
    missing = tuple(said(item) for item in Item if item not in found)
    if missing:
        raise Refusal(message("orders.check.missing", items=missing))
