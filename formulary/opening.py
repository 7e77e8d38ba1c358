"""Open or make a formulary: the only place that puts store, clock and person together."""

from __future__ import annotations

import platform
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from formulary.acts import Act
from formulary.clock import Clock, SystemClock, local
from formulary.desk import Desk
from formulary.errors import NotFound, Refusal, StoreTrouble
from formulary.house import House
from formulary.messages import message
from formulary.people import Person, Post
from formulary.store import Hit, Store
from formulary.verbs.build_house import HouseBook, build_house
from formulary.workstation import at_first

FILE_NAME = "formulary.misce"


def default_location() -> Path:
    """Return where the formulary is kept unless said otherwise: the user's data folder."""
    # Imported here: the window starts without it.
    import platformdirs

    return Path(platformdirs.user_data_dir("misce", appauthor=False)) / FILE_NAME


def workstation() -> str:
    """Return the name under which this machine's acts are recorded."""
    return platform.node() or "workstation"


def exists(location: str | Path) -> bool:
    """Tell whether there is a formulary at a path; a server's address is taken to have one."""
    return "://" in str(location) or Path(location).exists()


def first_hits(location: str | Path) -> Sequence[Hit]:
    """Return the first page of the list before the store is open, nothing where that can't be."""
    # The records' quick way in, which loads no SQLAlchemy.
    from formulary.records import first_list

    return first_list.first_hits(location)


def open_desk(location: str | Path, person: str = "", clock: Clock | None = None) -> Desk:
    """Open a formulary for somebody who works in it, the first person on file if not named.

    Raises :class:`formulary.errors.NotFound` and :class:`formulary.errors.StoreTrouble`.
    """
    # SQLAlchemy is loaded with the records, so not before a store is opened.
    from formulary.records.opening import open_store

    store = open_store(location)
    try:
        return desk_at(store, person, clock)
    except BaseException:
        store.close()
        raise


def desk_at(store: Store, person: str = "", clock: Clock | None = None) -> Desk:
    """Return a desk at an open store. Raises :class:`formulary.errors.NotFound` for nobody."""
    return _seated(Desk(store, clock or SystemClock(), _person(store, person), workstation()))


def _seated(desk: Desk) -> Desk:
    """Return the desk at this workstation, with what belongs to it."""
    from formulary.exchange.workstation_file import kept_workstation

    kept = kept_workstation()
    return desk.seated_at(at_first(desk.house) if kept is None else kept)


def _person(store: Store, name: str) -> Person:
    people = sorted(store.every(Person), key=_pharmacists_first)
    if not people:
        raise NotFound(message("desk.nobody_yet"))
    if not name:
        return people[0]
    wanted = name.casefold()
    for each in people:
        if wanted in (each.id.casefold(), each.name.casefold()):
            return each
    beginning = [each for each in people if each.name.casefold().startswith(wanted)]
    if len(beginning) == 1:
        return beginning[0]
    raise NotFound(message("desk.nobody", name=name, people=tuple(each.name for each in people)))


def _pharmacists_first(person: Person) -> tuple[bool, str]:
    return person.post is not Post.PHARMACIST, person.name


def create_house(
    location: str | Path, house: House, person: Person, clock: Clock | None = None
) -> Desk:
    """Make a new formulary for a house with its first person, and open it.

    Names of patients and prescribers are kept under this computer's key from the first one.
    """
    from formulary.records.name_key import own_key

    house = replace(house, names_key=own_key())
    return _create(location, HouseBook(house, (person,)), clock or SystemClock())


def create_sample(location: str | Path, clock: Clock | None = None, *, worked: bool = True) -> Desk:
    """Make the sample pharmacy at a place where no formulary is yet, and open it.

    Unless it was ``worked`` in, nothing was made in it yet.
    """
    from formulary.exchange.sample_house import sample_house

    clock = clock or SystemClock()
    today = clock.now().date()
    if not worked:
        return _create(location, sample_house(today=today), clock)

    def work(store: Store) -> None:
        from formulary.exchange.sample_work import two_months

        two_months(store, today)

    from formulary.exchange.sample_work import first_hour

    book = sample_house(today=today, untouched=True)
    return _create(location, book, clock, work, first_hour(today, book.house.zone))


def _nothing_more(_store: Store) -> None:
    """Leave what was built as it is."""


def _create(
    location: str | Path,
    book: HouseBook,
    clock: Clock,
    furnish: Callable[[Store], None] = _nothing_more,
    begun: datetime | None = None,
) -> Desk:
    from formulary.records.opening import open_store

    if "://" not in str(location):
        if Path(location).exists():
            raise Refusal(message("desk.already_there", place=str(location)))
        _make_folder(Path(location).parent)
    store = open_store(location, create=True)
    try:
        first = book.people[0]
        at = begun or local(clock.now(), book.house.zone)
        act = Act(first.id, first.name, first.post.value, workstation(), at)
        with store.at_once() as whole:
            build_house(whole, act, book)
            furnish(whole)
    except BaseException:
        store.close()
        raise
    return _seated(Desk(store, clock, first, workstation()))


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        why = error.strerror or type(error).__name__
        raise StoreTrouble(message("store.cannot_make", place=str(folder), why=why)) from error
