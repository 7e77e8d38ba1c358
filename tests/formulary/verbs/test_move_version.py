"""A version's way into use and out of it."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from formulary.canonical import content_hash
from formulary.desk import Desk
from formulary.errors import Forbidden, NotFound, Refusal
from formulary.formula.content import Content
from formulary.formula.version import State, Version
from formulary.verbs.move_version import put_in_use, return_to_draft, send_to_review, withdraw
from formulary.verbs.write_version import write_version
from tests.helpers.desks import BEN, CID, MORNING, PIN, at, in_use
from tests.helpers.formulas import a_line, amount
from tests.helpers.kept import a_content, for_a_fortnight


def short(title: str = "Zinc cream") -> Content:
    """Return a cream that lasts no longer than the house's rules allow."""
    return for_a_fortnight(a_content(title))


def reviewed(desk: Desk, content: Content | None = None) -> Version:
    """Return a version of Ada's in review."""
    return send_to_review(desk, write_version(desk, content or short()).id)


def test_a_draft_goes_to_review_and_back_with_a_reason(desk: Desk) -> None:
    version = reviewed(desk)
    assert version.state is State.IN_REVIEW
    back = return_to_draft(at(desk, BEN), version.id, "no storage reason")
    assert back.state is State.DRAFT
    assert desk.store.history()[-1].act.reason == "no storage reason"


def test_another_pharmacist_puts_it_in_use(desk: Desk) -> None:
    version = put_in_use(at(desk, BEN), reviewed(desk).id, PIN)
    assert (version.state, version.approver_id, version.approved_at) == (
        State.IN_USE,
        BEN.id,
        MORNING,
    )
    assert "exemption" not in desk.store.history()[-1].details


def test_it_is_signed_with_the_pin_for_what_it_says(desk: Desk) -> None:
    version = reviewed(desk)
    with pytest.raises(Forbidden) as caught:
        put_in_use(at(desk, BEN), version.id, "0000")
    assert caught.value.message.key == "people.wrong_pin"
    moved = put_in_use(at(desk, BEN), version.id, PIN)
    told = json.loads(list(desk.store.history(0, 100))[-1].details)["told"]
    assert told == {"signed": "put in use", "content": content_hash(moved.content)}


def test_the_author_does_not(desk: Desk) -> None:
    version = reviewed(desk)
    with pytest.raises(Forbidden) as caught:
        put_in_use(desk, version.id, PIN)
    assert caught.value.message.key == "verbs.author_puts_in_use"
    with pytest.raises(Forbidden):
        put_in_use(desk, version.id, PIN, alone_because="  ")


def test_nobody_who_wrote_any_of_it_does_either(desk: Desk) -> None:
    draft = write_version(desk, short())
    again = write_version(at(desk, BEN), draft.content, formula_id=draft.formula_id)
    assert again.author_id == BEN.id
    send_to_review(desk, again.id)
    with pytest.raises(Forbidden) as caught:
        put_in_use(desk, again.id, PIN)
    assert caught.value.message.key == "verbs.author_puts_in_use"


def test_the_author_alone_on_a_shift_does_with_a_reason_that_stays(desk: Desk) -> None:
    version = put_in_use(desk, reviewed(desk).id, PIN, alone_because="single-handed shift")
    assert version.state is State.IN_USE
    entry = desk.store.history()[-1]
    assert entry.act.reason == "single-handed shift"
    assert "alone" in json.dumps(entry.details)


def test_somebody_else_needs_no_exemption_and_gets_none(desk: Desk) -> None:
    put_in_use(at(desk, BEN), reviewed(desk).id, PIN, alone_because="I was early")
    assert "exemption" not in desk.store.history()[-1].details


def test_a_technician_does_not(desk: Desk) -> None:
    version = reviewed(desk)
    with pytest.raises(Forbidden) as caught:
        put_in_use(at(desk, CID), version.id, PIN)
    assert caught.value.message.key == "roles.may_not"


def test_a_draft_is_not_put_in_use_past_its_review(desk: Desk) -> None:
    version = write_version(desk, short())
    with pytest.raises(Forbidden):
        put_in_use(at(desk, BEN), version.id, PIN)


def test_a_formula_that_does_not_close_goes_nowhere(desk: Desk) -> None:
    lines = (a_line("A", "60 g"), a_line("B", "30 g"))
    open_one = replace(short(), lines=lines, total=amount("100 g"))
    version = write_version(desk, open_one)
    with pytest.raises(Refusal) as caught:
        send_to_review(desk, version.id)
    assert caught.value.message.key == "scaling.finding.does_not_add_up"
    assert [each.state for each in desk.store.versions(version.formula_id)] == [State.DRAFT]


@pytest.mark.parametrize(
    "content", [replace(short(), storage=None), replace(short(), shelf_life=None)]
)
def test_without_its_keeping_it_is_not_put_in_use(desk: Desk, content: Content) -> None:
    version = reviewed(desk, content)
    with pytest.raises(Refusal) as caught:
        put_in_use(at(desk, BEN), version.id, PIN)
    assert caught.value.message.key == "verbs.keeping_needed"


def test_the_next_version_in_use_withdraws_the_one_before(desk: Desk) -> None:
    first = in_use(desk)
    second = write_version(desk, short("New"), formula_id=first.formula_id, reason="better")
    send_to_review(desk, second.id)
    put_in_use(at(desk, BEN), second.id, PIN)
    assert [each.state for each in desk.store.versions(first.formula_id)] == [
        State.WITHDRAWN,
        State.IN_USE,
    ]


def test_withdrawing_needs_a_pharmacist_and_a_reason(desk: Desk) -> None:
    version = in_use(desk)
    with pytest.raises(Forbidden):
        withdraw(at(desk, CID), version.id, "old")
    with pytest.raises(Refusal) as caught:
        withdraw(desk, version.id, " ")
    assert caught.value.message.key == "verbs.withdrawal_reason_needed"
    assert withdraw(desk, version.id, "holds peanut oil").state is State.WITHDRAWN


def test_what_is_withdrawn_stays_so(desk: Desk) -> None:
    version = in_use(desk)
    withdraw(desk, version.id, "old")
    with pytest.raises(Forbidden):
        return_to_draft(desk, version.id, "again")


def test_an_unknown_version_is_not_found(desk: Desk) -> None:
    with pytest.raises(NotFound):
        send_to_review(desk, "nowhere")
