"""A desk: an open store, somebody working at it, and the clock on its wall."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from formulary.acts import Act
from formulary.clock import Clock, legal_date, local
from formulary.errors import Forbidden, StoreTrouble
from formulary.house import House
from formulary.messages import message
from formulary.people import Person, Post
from formulary.store import Store


@dataclass(frozen=True, slots=True)
class Desk:
    """Where verbs are done: by ``person`` at ``workstation``, at the ``clock``'s time."""

    store: Store
    clock: Clock
    person: Person
    workstation: str

    @property
    def house(self) -> House:
        """Return the house as it stands now."""
        houses = self.store.every(House)
        if not houses:
            raise StoreTrouble(message("desk.no_house"))
        return houses[0]

    @property
    def today(self) -> date:
        """Return the legal date: the day it is in the house's time zone."""
        return legal_date(self.clock.now(), self.house.zone)

    def act(self, reason: str = "", *, zone: str = "") -> Act:
        """Return an act of the person here and now."""
        at = local(self.clock.now(), zone or self.house.zone)
        return Act(
            self.person.id, self.person.name, self.person.post.value, self.workstation, at, reason
        )

    def require_pharmacist(self) -> None:
        """Raise :class:`formulary.errors.Forbidden` unless a pharmacist is at the desk."""
        if self.person.post is not Post.PHARMACIST:
            raise Forbidden(message("desk.pharmacist_only", person=self.person.name))
