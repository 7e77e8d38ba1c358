"""A recall: a lot is found bad, and what it reached is frozen and called back.

One lot of a supplier may have come in several deliveries, each kept as a lot of its own here.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum

from formulary.errors import Refusal
from formulary.messages import message
from formulary.signing import Meaning, Signature
from formulary.stock.lot import SupplyLot
from formulary.tracing import Delivery, Node, Sort, Trace, Way


class Outcome(StrEnum):
    """What came of calling somebody; only the last three settle it."""

    NO_ANSWER = "no answer"
    MESSAGE_LEFT = "message left"
    REACHED = "reached"
    RETURNED = "returned"
    USED_UP = "used up"


SETTLED = frozenset({Outcome.REACHED, Outcome.RETURNED, Outcome.USED_UP})


@dataclass(frozen=True, slots=True)
class Attempt:
    """One call or visit: who tried, when, what came of it, and which jars came back.

    ``jars_back`` counts those that nobody named; earlier versions of the program only counted.
    """

    at: datetime
    person_id: str
    person: str
    outcome: Outcome
    jars_back: int = 0
    note: str = ""
    jars: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Contact:
    """A patient (by an opaque id) or ward to call, and what was tried; the last attempt counts."""

    recipient_id: str
    is_ward: bool
    jar_ids: tuple[str, ...]
    attempts: tuple[Attempt, ...] = ()

    @property
    def state(self) -> Outcome | None:
        """Return the last outcome, or None while nobody has tried."""
        return self.attempts[-1].outcome if self.attempts else None

    @property
    def back(self) -> tuple[str, ...]:
        """Return the ids of the jars that came back."""
        return tuple(jar for each in self.attempts for jar in each.jars)

    @property
    def settled(self) -> bool:
        """Return whether nobody needs to call again."""
        return self.state in SETTLED


@dataclass(frozen=True, slots=True)
class Reach:
    """What a lot reached, by ids; ``open_work`` and ``made`` are preparations."""

    lots: tuple[str, ...]
    containers: tuple[str, ...]
    open_work: tuple[str, ...]
    made: tuple[str, ...]
    shelf_jars: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Recall:
    """One recall from its signature on, with all that it froze and all who are to be called.

    A practice recall (``practice``) takes the same steps, but nothing is to be frozen for it.
    """

    id: str
    lot_ids: tuple[str, ...]
    reason: str
    begun: Signature
    reach: Reach
    contacts: tuple[Contact, ...]
    practice: bool = False
    closed: Signature | None = None
    finding: str = ""
    revision: int = 0


def numbered(lots: Iterable[SupplyLot], typed: str) -> tuple[SupplyLot, ...]:
    """Return the lots of that number, each delivery of it; case, spaces and dashes don't matter."""
    wanted = _bare(typed)
    return tuple(lot for lot in lots if wanted and _bare(lot.number) == wanted)


def _bare(number: str) -> str:
    return "".join(sign for sign in number.casefold() if sign.isalnum())


def reach_of(found: Trace, open_work: Collection[str]) -> Reach:
    """Return what freezes when the lots at the start of a forward trace are recalled.

    ``open_work`` are the ids of the preparations that are still being made.
    """
    if found.way is not Way.FORWARD or any(each.sort is not Sort.LOT for each in found.starts):
        raise ValueError("a recall follows lots forward")
    preparations = _ids(found.preparations)
    return Reach(
        lots=_ids(found.of(Sort.LOT)),
        containers=_ids(found.of(Sort.CONTAINER)),
        open_work=tuple(each for each in preparations if each in open_work),
        made=tuple(each for each in preparations if each not in open_work),
        shelf_jars=_ids(found.not_handed_over),
    )


def begin(
    recall_id: str,
    found: Trace,
    open_work: Collection[str],
    begun: Signature,
    reason: str,
    *,
    practice: bool = False,
) -> Recall:
    """Return the recall of the lots at the start of a forward trace, with everybody to call."""
    if begun.meaning is not Meaning.DECIDED:
        raise ValueError("a recall is a signed decision")
    if not reason.strip():
        raise Refusal(message("stock.reason_missing"))
    reach, contacts = reach_of(found, open_work), tuple(map(_contact, found.to_call))
    return Recall(recall_id, _ids(found.starts), reason, begun, reach, contacts, practice)


def called(recall: Recall, recipient_id: str, attempt: Attempt) -> Recall:
    """Return the recall with one more attempt; earlier ones stay.

    Raises Refusal for a closed recall, and for a jar that wasn't theirs or came back before.
    """
    if recall.closed is not None:
        raise Refusal(message("stock.recall.closed"))
    _require_theirs(contact_of(recall, recipient_id), attempt.jars)
    contacts = tuple(
        replace(each, attempts=(*each.attempts, attempt))
        if each.recipient_id == recipient_id
        else each
        for each in recall.contacts
    )
    return replace(recall, contacts=contacts)


def contact_of(recall: Recall, recipient_id: str) -> Contact:
    """Return the contact of a patient or ward. Raises ValueError for who got nothing."""
    for each in recall.contacts:
        if each.recipient_id == recipient_id:
            return each
    raise ValueError(f"{recipient_id!r} got nothing that is recalled")


def jars_named(contact: Contact, typed: str) -> tuple[str, ...]:
    """Return the jars named, such as ``K26-00042/1, K26-00042/2``; a jar named twice counts once.

    Of a lot without a number all jars are meant that they had of it.
    """
    named: list[str] = []
    for word in typed.replace(",", " ").replace(";", " ").split():
        wanted = _bare_jar(word)
        named += [
            each
            for each in contact.jar_ids
            if wanted in (_bare_jar(each), _bare_jar(each.rpartition("/")[0]))
        ] or [word]
    return tuple(dict.fromkeys(named))


def _bare_jar(jar: str) -> str:
    return jar.casefold().strip()


def _require_theirs(contact: Contact, jars: Iterable[str]) -> None:
    for jar in jars:
        if jar not in contact.jar_ids:
            raise Refusal(message("stock.recall.not_theirs", jar=jar, jars=contact.jar_ids))
        if jar in contact.back:
            raise Refusal(message("stock.recall.back_already", jar=jar))


def still_to_call(recall: Recall) -> tuple[Contact, ...]:
    """Return who hasn't been reached, in the order of the list."""
    return tuple(each for each in recall.contacts if not each.settled)


def jars_back(recall: Recall) -> tuple[int, int]:
    """Return how many of the jars handed over came back, and how many were handed over."""
    attempts = [attempt for each in recall.contacts for attempt in each.attempts]
    back = sum(len(each.jars) or each.jars_back for each in attempts)
    return back, sum(len(each.jar_ids) for each in recall.contacts)


def close(recall: Recall, signature: Signature, finding: str) -> Recall:
    """Return the recall closed, with whether it worked in ``finding``.

    Raises :class:`formulary.errors.Refusal` while somebody hasn't been reached.
    """
    require_all_reached(recall)
    if signature.meaning is not Meaning.DECIDED:
        raise ValueError("closing a recall is a signed decision")
    if not finding.strip():
        raise Refusal(message("stock.recall.no_finding"))
    return replace(recall, closed=signature, finding=finding)


def require_all_reached(recall: Recall) -> None:
    """Raise Refusal while somebody hasn't been reached."""
    waiting = len(still_to_call(recall))
    if waiting:
        raise Refusal(message("stock.recall.still_to_call", n=waiting))


def time_taken(recall: Recall, now: datetime) -> timedelta:
    """Return how long the recall took, or has taken by now."""
    return (now if recall.closed is None else recall.closed.at) - recall.begun.at


def _contact(delivery: Delivery) -> Contact:
    who = delivery.recipient
    return Contact(who.id, who.sort is Sort.WARD, _ids(delivery.jars))


def _ids(nodes: tuple[Node, ...]) -> tuple[str, ...]:
    return tuple(node.id for node in nodes)
