"""Signing in, signing, and PINs."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary import pins
from formulary.desk import Desk
from formulary.errors import BadText, Forbidden, NotSignedIn, Refusal
from formulary.people import Person, Post
from formulary.signing import Meaning
from formulary.tries import LONGEST, Tries
from formulary.verbs.keep_records import save_person
from formulary.verbs.sign_in import set_pin, sign_in, signed
from formulary.verbs.write_version import write_version
from tests.helpers.desks import ADA, BEN, CID, MORNING, PIN, Stopped
from tests.helpers.kept import a_content


@pytest.fixture
def counter(desk: Desk) -> Desk:
    """Return a desk where nobody is signed in."""
    return replace(desk, signed_in=False)


def later(desk: Desk, seconds: int) -> Desk:
    return replace(desk, clock=Stopped(MORNING + timedelta(seconds=seconds)))


def test_nothing_is_done_in_the_name_of_somebody_not_signed_in(counter: Desk) -> None:
    with pytest.raises(NotSignedIn):
        write_version(counter, a_content())
    write_version(sign_in(counter, ADA.id, PIN), a_content())


def test_a_wrong_pin_lets_nobody_in_and_is_on_record(counter: Desk) -> None:
    with pytest.raises(Forbidden) as caught:
        sign_in(counter, CID.id, "0000")
    assert caught.value.message.key == "people.wrong_pin"
    last = list(counter.store.history(0, 100))[-1]
    assert (last.verb, last.act.person) == ("wrong_pin", CID.name)
    assert "0000" not in last.details


def test_wrong_tries_slow_down_until_even_the_right_one_waits(counter: Desk) -> None:
    for _ in range(3):
        with pytest.raises(Forbidden):
            sign_in(counter, ADA.id, "1357")
    with pytest.raises(Forbidden) as caught:
        sign_in(later(counter, 4), ADA.id, PIN)
    assert caught.value.message.key == "people.wait"
    assert sign_in(later(counter, 5), ADA.id, PIN).signed_in
    # The count begins anew, for others it never was.
    with pytest.raises(Forbidden) as caught:
        sign_in(later(counter, 6), ADA.id, "1357")
    assert caught.value.message.key == "people.wrong_pin"


def test_others_don_t_wait_for_somebody_s_wrong_tries(counter: Desk) -> None:
    for _ in range(3):
        with pytest.raises(Forbidden):
            sign_in(counter, ADA.id, "1357")
    assert sign_in(counter, BEN.id, PIN).person == counter.store.get(Person, BEN.id)


@given(st.integers(0, 10_000))
def test_each_wrong_try_waits_at_least_as_long_as_the_one_before(wrong: int) -> None:
    now, more = Tries("p", wrong, MORNING), Tries("p", wrong + 1, MORNING)
    assert MORNING <= now.free_at <= more.free_at <= MORNING + LONGEST


def test_a_signature_asks_for_the_pin_again_and_says_what_it_means(desk: Desk) -> None:
    with pytest.raises(Forbidden):
        signed(desk, "wrong", Meaning.RELEASED)
    found = signed(desk, PIN, Meaning.RELEASED, "abc")
    assert (found.person, found.post, found.at) == (ADA.name, "pharmacist", MORNING)
    assert (found.meaning, found.content_hash) == (Meaning.RELEASED, "abc")


def test_everybody_changes_their_own_pin_and_only_the_office_another_s(desk: Desk) -> None:
    technician = sign_in(desk, CID.id, PIN)
    set_pin(technician, CID.id, "a longer one")
    assert sign_in(desk, CID.id, "a longer one").signed_in
    with pytest.raises(Forbidden):
        set_pin(technician, ADA.id, "a longer one")
    set_pin(desk, CID.id, "9753")
    assert sign_in(desk, CID.id, "9753").signed_in


@pytest.mark.parametrize("pin", ["", "258", "1111", "1234", "9876", "abcd"])
def test_a_pin_that_everybody_tries_first_is_refused(desk: Desk, pin: str) -> None:
    with pytest.raises(BadText):
        set_pin(desk, ADA.id, pin)


def test_a_pin_is_kept_as_argon2id_and_nowhere_itself(desk: Desk) -> None:
    kept = set_pin(desk, ADA.id, "horse battery")
    assert kept.pin_hash.startswith("$argon2id$")
    assert pins.fits("horse battery", kept.pin_hash)
    assert not pins.fits("horse batterz", kept.pin_hash)
    assert all("horse" not in each.details for each in desk.store.history(0, 100))


def test_who_has_left_acts_no_more(desk: Desk) -> None:
    gone = desk.store.get(Person, CID.id)
    assert gone is not None
    save_person(desk, replace(gone, gone=True))
    with pytest.raises(Forbidden) as caught:
        sign_in(desk, CID.id, PIN)
    assert caught.value.message.key == "people.gone"


def test_the_last_pharmacist_stays_one(desk: Desk) -> None:
    ada, ben = (desk.store.get(Person, each.id) for each in (ADA, BEN))
    assert ada is not None
    assert ben is not None
    save_person(desk, replace(ben, post=Post.READER))
    for change in (replace(ada, gone=True), replace(ada, post=Post.ADMINISTRATOR)):
        with pytest.raises(Refusal) as caught:
            save_person(desk, change)
        assert caught.value.message.key == "people.last_pharmacist"


def test_in_a_house_without_any_pin_the_first_pharmacist_sets_one(desk: Desk) -> None:
    for each in (ADA, BEN, CID):
        found = desk.store.get(Person, each.id)
        assert found is not None
        save_person(desk, replace(found, pin_hash=""))
    counter = replace(desk, signed_in=False)
    with pytest.raises(Forbidden) as caught:
        sign_in(counter, CID.id, "8642")
    assert caught.value.message.key == "people.no_pin"
    assert sign_in(counter, ADA.id, "8642").signed_in
    with pytest.raises(Forbidden):
        sign_in(counter, BEN.id, "7531")
    with pytest.raises(Forbidden):
        sign_in(counter, ADA.id, "7531")
