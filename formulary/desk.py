"""A desk: an open store, somebody working at it, and the clock on its wall."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import date

from formulary.acts import Act
from formulary.clock import Clock, legal_date, local
from formulary.errors import NotSignedIn, StoreTrouble
from formulary.house import House
from formulary.messages import message
from formulary.people import Person
from formulary.roles import OPEN_TO_ALL, require
from formulary.store import Store, Writing
from formulary.workstation import Workstation, house_at


@dataclass(frozen=True, slots=True)
class Desk:
    """Where verbs are done: by ``person`` at ``workstation``, at the ``clock``'s time.

    Until the person has ``signed_in`` the desk only reads. ``known_house`` is the house where it
    was read for one act already, see :meth:`for_one_act`. ``here`` is what belongs to the
    workstation.
    """

    store: Store
    clock: Clock
    person: Person
    workstation: str
    signed_in: bool = False
    known_house: House | None = None
    here: Workstation = field(default_factory=Workstation)

    @property
    def house(self) -> House:
        """Return the house as it stands now."""
        if self.known_house is not None:
            return self.known_house
        houses = self.store.every(House)
        if not houses:
            raise StoreTrouble(message("desk.no_house"))
        return houses[0]

    @property
    def house_here(self) -> House:
        """Return the house as it is at this workstation: with the balances that stand here."""
        return house_at(self.here, self.house)

    def seated_at(self, here: Workstation) -> Desk:
        """Return the desk at a workstation with this profile; its bench is its name, if it has one.

        Without one it keeps the name that it has.
        """
        return replace(self, here=here, workstation=here.bench or self.workstation)

    def for_one_act(self) -> Desk:
        """Return the desk with the house read once, for an act that asks for it again and again."""
        return replace(self, known_house=self.house)

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

    def may(self, verb: str) -> None:
        """Raise :class:`formulary.errors.Forbidden` unless the person may do the verb.

        Where nobody is signed in it is :class:`formulary.errors.NotSignedIn`.
        """
        if not self.signed_in and verb not in OPEN_TO_ALL:
            raise NotSignedIn(message("people.sign_in_first"))
        require(self.person, verb)

    @contextmanager
    def writing(self, verb: str, reason: str = "") -> Iterator[Writing]:
        """Open the transaction of one verb, done by the person here and now.

        Every act goes through here, so none goes round the roles. Raises
        :class:`formulary.errors.Forbidden` as :meth:`may` does.
        """
        self.may(verb)
        with self.store.writing(self.act(reason), verb) as writing:
            yield writing
