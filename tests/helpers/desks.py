"""Desks in an invented pharmacy, at whatever hour a test needs."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime

from formulary.acts import Act
from formulary.desk import Desk
from formulary.exchange.sample_wording import approved_books
from formulary.formula.content import Content
from formulary.formula.version import State, Version
from formulary.house import House
from formulary.people import Person, Post
from formulary.store import Store
from formulary.verbs.build_house import HouseBook, build_house
from formulary.verbs.move_version import put_in_use, send_to_review
from formulary.verbs.review_formula import override_finding, review_version
from formulary.verbs.write_version import write_version
from tests.helpers.formulas import a_house
from tests.helpers.kept import a_content

MORNING = datetime(2026, 3, 10, 9, 0, tzinfo=UTC)
PIN = "2580"
# Everybody's here, hashed as cheaply as Argon2 allows, so that tests don't wait for it.
PIN_HASH = "$argon2id$v=19$m=8,t=1,p=1$z4fO+Nx3JwE$Czbymw+FQgYtZteNXKFH7g"
ADA = Person("p-ada", "Ada Berg", Post.PHARMACIST, PIN_HASH)
BEN = Person("p-ben", "Ben Cole", Post.PHARMACIST, PIN_HASH)
CID = Person("p-cid", "Cid Dane", Post.TECHNICIAN, PIN_HASH)
WORDINGS = approved_books(BEN, MORNING)


@dataclass(frozen=True, slots=True)
class Stopped:
    """A clock that stands still."""

    at: datetime

    def now(self) -> datetime:
        return self.at


def furnished(store: Store, house: House | None = None) -> Store:
    """Put a house with three people into an empty store."""
    act = Act(ADA.id, ADA.name, ADA.post.value, "bench 1", MORNING)
    build_house(store, act, HouseBook(house or a_house(), (ADA, BEN, CID), wordings=WORDINGS))
    return store


def a_desk(store: Store, person: Person = ADA, at: datetime = MORNING) -> Desk:
    """Return a desk at a furnished store."""
    return Desk(store, Stopped(at), person, "bench 1", signed_in=True)


def at(desk: Desk, person: Person) -> Desk:
    """Return the same desk with somebody else at it."""
    return replace(desk, person=person)


def give_reasons(desk: Desk, version: Version) -> None:
    """Let everything stand that the review of a version wants a reason for."""
    for each in review_version(desk, version).open:
        override_finding(desk, version.id, each, "invented for this test", PIN)


def in_use(desk: Desk, content: Content | None = None) -> Version:
    """Write a formula as Ada and put it in use as Ben."""
    version = write_version(at(desk, ADA), a_content() if content is None else content)
    send_to_review(at(desk, ADA), version.id)
    give_reasons(at(desk, BEN), version)
    moved = put_in_use(at(desk, BEN), version.id, PIN)
    assert moved.state is State.IN_USE
    return moved
