"""Sign in at a desk, sign an act, and set a PIN."""

from __future__ import annotations

from dataclasses import replace

from formulary import pins
from formulary.desk import Desk
from formulary.errors import Forbidden, NotFound
from formulary.messages import message
from formulary.people import Person, Post
from formulary.signing import Meaning, Signature
from formulary.tries import Tries, one_more, require_patience


def sign_in(desk: Desk, person_id: str, pin: str) -> Desk:
    """Return the desk with somebody signed in at it.

    Where nobody in the house who may change people has a PIN, the first pharmacist's becomes
    the one typed. Raises :class:`formulary.errors.Forbidden` for a wrong PIN or one tried too
    soon, and for somebody without a PIN.
    """
    person = _working(desk, person_id)
    at_desk = replace(desk, person=person, signed_in=False)
    if not person.pin_hash and _is_first(at_desk):
        person = _first_pin(at_desk, pin)
    else:
        _prove(at_desk, pin)
    return replace(desk, person=person, signed_in=True)


def signed(
    desk: Desk, pin: str, meaning: Meaning, content_hash: str = "", alone_because: str = ""
) -> Signature:
    """Return the signature of the person at the desk, who types the PIN again for it.

    Raises :class:`formulary.errors.Forbidden` as :func:`sign_in` does.
    """
    _prove(desk, pin)
    person, act = desk.person, desk.act()
    post = person.post.value
    return Signature(
        person.id, person.name, post, meaning, act.at, content_hash, alone_because.strip()
    )


def set_pin(desk: Desk, person_id: str, pin: str) -> Person:
    """Give somebody a PIN: one's own, or anybody's for those who change people.

    Raises :class:`formulary.errors.BadText` for a PIN that everybody would try first.
    """
    if person_id != desk.person.id:
        desk.may("save_person")
    person = _working(desk, person_id)
    with desk.writing("set_pin") as writing:
        return writing.put(replace(person, pin_hash=pins.hash_of(pin)))


def _working(desk: Desk, person_id: str) -> Person:
    person = desk.store.get(Person, person_id)
    if person is None:
        raise NotFound(message("desk.nobody", name=person_id, people=()))
    if person.gone:
        raise Forbidden(message("people.gone", person=person.name))
    return person


def _is_first(desk: Desk) -> bool:
    """Tell whether nobody could give the person at the desk a PIN but the person themselves."""
    office = (Post.PHARMACIST, Post.ADMINISTRATOR)
    givers = (each for each in desk.store.every(Person) if each.post in office)
    return desk.person.post is Post.PHARMACIST and not any(each.pin_hash for each in givers)


def _first_pin(desk: Desk, pin: str) -> Person:
    kept = replace(desk.person, pin_hash=pins.hash_of(pin))
    with desk.store.writing(desk.act(), "first_pin") as writing:
        return writing.put(kept)


def _prove(desk: Desk, pin: str) -> None:
    """Compare the PIN with the one kept; a wrong one goes on record and slows down the next."""
    person, now = desk.person, desk.act().at
    if not person.pin_hash:
        raise Forbidden(message("people.no_pin", person=person.name))
    before = desk.store.get(Tries, person.id)
    require_patience(before, now)
    if pins.fits(pin, person.pin_hash):
        if before is not None and before.wrong:
            _record(desk, replace(before, wrong=0), "right_pin")
        return
    _record(desk, one_more(before, person.id, now), "wrong_pin")
    raise Forbidden(message("people.wrong_pin", person=person.name))


def _record(desk: Desk, tries: Tries, verb: str) -> None:
    # Nobody is signed in yet, so no role can be asked for.
    with desk.store.writing(desk.act(), verb) as writing:
        writing.put(tries)
