"""What a patient last had of the same active, where it was of another strength.

The dose in mL that a family knows is wrong once the strength changes (a survey of over 200
pharmacies found over half of such preparations in three or more strengths).
"""

from __future__ import annotations

from formulary.formula.version import Version
from formulary.messages import Message, message
from formulary.orders.order import Order, OrderState
from formulary.people import Identity
from formulary.store import Reading
from formulary.wording.strength import declared


def strength_changes(store: Reading, order: Order) -> tuple[Message, ...]:
    """Return a sentence for each active that the patient's last supply held in another strength.

    Patients of one name are taken for one unless their birth dates differ: the sentence asks.
    """
    version = store.get(Version, order.version_id) if order.version_id else None
    if version is None or not order.patient_id:
        return ()
    wanted = declared(version.content)
    changes: list[Message] = []
    for earlier in _supplies(store, order):
        had_version = store.get(Version, earlier.version_id)
        had = declared(had_version.content) if had_version else {}
        for name in sorted(set(had) & set(wanted)):
            now = wanted.pop(name)
            if had[name] != now:
                day = earlier.received_at.date()
                said = {"ingredient": name, "now": now, "before": had[name]}
                changes.append(
                    message("wording.strength_changed", number=earlier.number, day=day, **said)
                )
    return tuple(changes)


def _supplies(store: Reading, order: Order) -> list[Order]:
    """Return what was handed over to this patient, the last first."""
    patient = store.get(Identity, order.patient_id)
    if patient is None:
        return []
    ended = store.having(Order, state=OrderState.HANDED_OVER.value)
    others = [each for each in ended if each.patient_id and each.id != order.id]
    ids = {each.patient_id for each in others}
    same = {each.id for each in store.having_any(Identity, "id", ids) if _is_same(each, patient)}
    found = [each for each in others if each.patient_id in same]
    return sorted(found, key=lambda each: each.received_at, reverse=True)


def _is_same(one: Identity, other: Identity) -> bool:
    born = [each.details.born for each in (one, other) if each.details and each.details.born]
    differ = len(set(born)) > 1
    return (
        " ".join(one.name.casefold().split()) == " ".join(other.name.casefold().split())
        and not differ
    )
