"""Approve a one-off: the signed plausibility check puts it in use for its order alone."""

from __future__ import annotations

from dataclasses import replace

from formulary.errors import Forbidden
from formulary.formula.version import State, Version
from formulary.messages import message
from formulary.signing import Signature
from formulary.store import Writing
from formulary.verbs.move_version import require_keeping, require_sound


def require_approvable(version: Version, person_id: str, person: str, alone_because: str) -> None:
    """Raise Refusal unless a person may approve a one-off; who composed it says why alone."""
    require_sound(version.content)
    require_keeping(version.content)
    if version.written_by(person_id) and not alone_because.strip():
        raise Forbidden(message("verbs.composer_checks", person=person))


def approve_one_off(writing: Writing, version: Version, by: Signature) -> Version:
    """Put a one-off in use within the transaction that keeps the check; earlier ones go out."""
    for other in writing.versions(version.formula_id):
        if other.state is State.IN_USE:
            writing.put(other.moved_to(State.WITHDRAWN))
    reviewed = writing.put(version.moved_to(State.IN_REVIEW))
    approved = replace(reviewed.moved_to(State.IN_USE), approver_id=by.person_id, approved_at=by.at)
    return writing.put(approved)
