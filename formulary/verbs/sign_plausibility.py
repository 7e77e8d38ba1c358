"""Sign the plausibility check of an order; a one-off is thereby approved for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from formulary.canonical import content_hash
from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.formula.version import State, Version
from formulary.messages import message
from formulary.orders.blocking import subject_of
from formulary.orders.order import Order
from formulary.orders.plausibility import Item, Judged, sign
from formulary.signing import Meaning
from formulary.verbs.approve_one_off import approve_one_off, require_approvable
from formulary.verbs.look_up_order import open_order
from formulary.verbs.review_formula import answered, require_answered
from formulary.verbs.sign_in import signed


def sign_plausibility(
    desk: Desk,
    order_id: str,
    judged: Sequence[Judged],
    pin: str,
    *,
    alone_because: str = "",
    seen: int | None = None,
) -> Order:
    """Add the signed check to an order and return it.

    Without an open doubt a one-off goes into use for this order; who composed it says why nobody
    else could check it, and the note on compatibility is the reason for what the review finds in
    it. Raises :class:`formulary.errors.Forbidden` unless a pharmacist signs,
    :class:`formulary.errors.Refusal` for an item not judged and an order without a formula, and
    Conflict unless ``seen`` is the revision that was judged.
    """
    desk.may("sign_plausibility")
    order = open_order(desk.store, order_id, seen)
    version = desk.store.get(Version, order.version_id)
    if version is None:
        raise Refusal(message("orders.block.no_formula"))
    waits = bool(version.order_id) and version.state is State.DRAFT
    if waits:
        require_approvable(version, desk.person.id, desk.person.name, alone_because)
    why = next((each.note for each in judged if each.item is Item.COMPATIBILITY), "")
    asked = require_answered(desk, version, why) if waits else ()
    subject = subject_of(order, content_hash(version.content))
    bound = content_hash(subject, "plausibility subject")
    by = signed(desk, pin, Meaning.CHECKED, bound, alone_because)
    check = sign(subject, judged, by)
    with desk.writing("sign_plausibility", alone_because) as writing:
        kept = writing.put(replace(order, checks=(*order.checks, check)))
        if waits and not check.undecided:
            for each in asked:
                writing.put(answered(version.id, each, why, by))
            approve_one_off(writing, version, by)
        writing.tell(order=order.number, signed=by.meaning.value, content=bound)
        if alone_because.strip():
            writing.tell(exemption="alone")
        return kept
