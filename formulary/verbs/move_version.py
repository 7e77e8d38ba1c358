"""Move a version through its states: to review, back, into use, withdrawn."""

from __future__ import annotations

from dataclasses import replace

from formulary.canonical import content_hash
from formulary.desk import Desk
from formulary.errors import Forbidden, NotFound, Refusal
from formulary.finding import Severity
from formulary.formula.content import Content
from formulary.formula.version import State, Version
from formulary.messages import message
from formulary.scaling.balance_sheet import balance_sheet
from formulary.signing import Meaning
from formulary.verbs.keep_dossier import sample_label
from formulary.verbs.review_formula import require_passed
from formulary.verbs.sign_in import signed


def send_to_review(desk: Desk, version_id: str) -> Version:
    """Hand a draft over for review; it must add up."""
    version = _version(desk, version_id)
    require_sound(version.content)
    return _move(desk, version, State.IN_REVIEW, "send_to_review")


def return_to_draft(desk: Desk, version_id: str, reason: str) -> Version:
    """Give a version in review back to its author, saying why."""
    if not reason.strip():
        raise Refusal(message("verbs.return_reason_needed"))
    return _move(desk, _version(desk, version_id), State.DRAFT, "return_to_draft", reason)


def put_in_use(desk: Desk, version_id: str, pin: str, *, alone_because: str = "") -> Version:
    """Put a reviewed version in use; the one used until now is withdrawn.

    A pharmacist who wrote none of it signs with the PIN, unless ``alone_because`` says why nobody
    else could; the exemption stays on the history. Raises :class:`formulary.errors.Forbidden`, and
    :class:`formulary.errors.Refusal` where the review has a stop or a reason is still to be given.
    """
    desk.may("put_in_use")
    version = _version(desk, version_id)
    require_sound(version.content)
    require_keeping(version.content)
    require_passed(desk, version)
    alone = version.written_by(desk.person.id)
    if alone and not alone_because.strip():
        raise Forbidden(message("verbs.author_puts_in_use", person=desk.person.name))
    moving = version.moved_to(State.IN_USE)
    by = signed(desk, pin, Meaning.PUT_IN_USE, content_hash(version.content), alone_because)
    moved = replace(moving, approver_id=by.person_id, approved_at=by.at)
    specimen = sample_label(desk, moved)
    with desk.writing("put_in_use", alone_because) as writing:
        for other in writing.versions(version.formula_id):
            if other.state is State.IN_USE:
                writing.put(other.moved_to(State.WITHDRAWN))
        writing.tell(signed=by.meaning.value, content=by.content_hash)
        if alone:
            writing.tell(exemption="alone")
        if specimen is not None:
            writing.put(specimen)
        return writing.put(moved)


def withdraw(desk: Desk, version_id: str, reason: str) -> Version:
    """Take a version out of use for good. A pharmacist does it and says why."""
    desk.may("withdraw")
    if not reason.strip():
        raise Refusal(message("verbs.withdrawal_reason_needed"))
    return _move(desk, _version(desk, version_id), State.WITHDRAWN, "withdraw", reason)


def _version(desk: Desk, version_id: str) -> Version:
    version = desk.store.get(Version, version_id)
    if version is None:
        raise NotFound(message("verbs.no_such_formula", text=version_id))
    if version.order_id:
        raise Forbidden(message("verbs.one_off_by_order", title=version.content.title))
    return version


def _move(desk: Desk, version: Version, state: State, verb: str, reason: str = "") -> Version:
    moved = version.moved_to(state)
    with desk.writing(verb, reason) as writing:
        return writing.put(moved)


def require_sound(content: Content) -> None:
    """Refuse a formula that should close and doesn't (design rule 3)."""
    for finding in balance_sheet(content).findings:
        if finding.severity is Severity.STOP:
            raise Refusal(finding.said)


def require_keeping(content: Content) -> None:
    """Refuse a formula that doesn't say how it is kept and how long it lasts."""
    if content.storage is None or content.shelf_life is None:
        raise Refusal(message("verbs.keeping_needed", title=content.title))
